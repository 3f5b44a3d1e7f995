using System.Runtime.CompilerServices;
using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Energy at a point from a shape of dose 1 under one normalised Gaussian exp(−r²/a²)/(π·a²); lengths in grid steps.
/// Rectangles, lines and dots are closed forms; a slanted side is integrated over the height.
/// </summary>
internal static class GaussianEnergy
{
    /// <summary>Beyond this many ranges a Gaussian is below 1e-7 of its integral.</summary>
    public const double Reach = 3.9;

    // Gauss–Legendre on [−1, 1], 4 and 8 nodes, the positive half of each (Abramowitz and Stegun, table 25.4). Along a side of slope
    // s the integrand changes within 1/√(1 + s²) ranges. On panels of so many of these, all panels together are right to 1e-7
    // of the integral over the whole plane.
    private const double FewNodesHeight = 0.7;
    private const double ManyNodesHeight = 2.4;
    private static readonly double[] FewNodes = [0.3399810435848563, 0.8611363115940526];
    private static readonly double[] FewWeights = [0.6521451548625461, 0.3478548451374538];
    private static readonly double[] ManyNodes = [0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363];
    private static readonly double[] ManyWeights = [0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763];

    /// <summary>A trapezoid with horizontal parallel sides.</summary>
    public static double OfTrapezoid(in Trapezoid shape, double x, double y, double range)
    {
        if (shape.IsRectangle)
        {
            return 0.5 * (GaussianTable.Erf((shape.YTop - y) / range) - GaussianTable.Erf((shape.YBottom - y) / range))
                * 0.5 * (GaussianTable.Erf((shape.Right.Lower.X - x) / range) - GaussianTable.Erf((shape.Left.Lower.X - x) / range));
        }

        // In ranges from the point.
        double bottom = Math.Max((shape.YBottom - y) / range, -Reach);
        double top = Math.Min((shape.YTop - y) / range, Reach);
        if (bottom >= top)
        {
            return 0;
        }

        double whole = 0.5 * Math.Sqrt(Math.PI) * (GaussianTable.Erf(top) - GaussianTable.Erf(bottom));
        return (UpToSide(shape.Right, x, y, range, bottom, top, whole) - UpToSide(shape.Left, x, y, range, bottom, top, whole))
            * 0.5 / Math.Sqrt(Math.PI);
    }

    // Integral of exp(−t²) erf(place + slope t) over a height: what lies between the point and a side. Where the side is out of reach over
    // all the height it is the whole of exp(−t²).
    private static double UpToSide(in GridEdge side, double x, double y, double range, double bottom, double top, double whole)
    {
        double slope = SlopeOf(side);
        double place = (side.Lower.X + (y - side.Lower.Y) * slope - x) / range;
        (double below, double above) = (place + slope * bottom, place + slope * top);
        if (Math.Min(below, above) >= Reach || Math.Max(below, above) <= -Reach)
        {
            return Math.CopySign(whole, below);
        }

        if (slope == 0)
        {
            return whole * GaussianTable.Erf(place);
        }

        // By parts along a flat side: over x, in which it is steep.
        return Math.Abs(slope) <= 1
            ? Integral(bottom, top, place, slope)
            : 0.5 * Math.Sqrt(Math.PI) * (GaussianTable.Erf(top) * GaussianTable.Erf(above) - GaussianTable.Erf(bottom) * GaussianTable.Erf(below))
                - Math.Sign(slope) * Integral(
                    Math.Max(Math.Min(below, above), -Reach), Math.Min(Math.Max(below, above), Reach), -place / slope, 1 / slope);
    }

    // Integral of exp(−t²) erf(place + slope t).
    private static double Integral(double from, double to, double place, double slope)
    {
        double changes = (to - from) * Math.Sqrt(1 + slope * slope);
        bool isLow = changes <= FewNodesHeight;
        (double[] nodes, double[] weights) = isLow ? (FewNodes, FewWeights) : (ManyNodes, ManyWeights);
        int panels = isLow ? 1 : (int)Math.Ceiling(changes / ManyNodesHeight);
        double half = (to - from) / panels / 2;
        double sum = 0;
        for (int panel = 0; panel < panels; panel++)
        {
            double middle = from + (2 * panel + 1) * half;
            for (int i = 0; i < nodes.Length; i++)
            {
                double away = half * nodes[i];
                sum += weights[i] * (Slice(middle - away) + Slice(middle + away));
            }
        }

        return sum * half;

        double Slice(double t) => GaussianTable.Bell(t) * GaussianTable.Erf(place + slope * t);
    }

    /// <summary>A line of unit charge per grid step.</summary>
    public static double OfLine(GridPoint start, GridPoint end, double x, double y, double range)
    {
        double dx = (double)end.X - start.X;
        double dy = (double)end.Y - start.Y;
        double length = Math.Sqrt(dx * dx + dy * dy);
        if (length == 0)
        {
            return 0;
        }

        double along = ((x - start.X) * dx + (y - start.Y) * dy) / length;
        double across = ((x - start.X) * dy - (y - start.Y) * dx) / length;
        return GaussianTable.Bell(across / range) / (Math.Sqrt(Math.PI) * range)
            * 0.5 * (GaussianTable.Erf((length - along) / range) - GaussianTable.Erf(-along / range));
    }

    /// <summary>A dot of unit charge.</summary>
    public static double OfDot(GridPoint position, double x, double y, double range)
    {
        double dx = position.X - x;
        double dy = position.Y - y;
        return GaussianTable.Bell(Math.Sqrt(dx * dx + dy * dy) / range) / (Math.PI * range * range);
    }

    /// <summary>x of an edge at a height, in floating point.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double XAt(in GridEdge edge, double y) =>
        edge.IsVertical ? edge.Lower.X : edge.Lower.X + (y - edge.Lower.Y) * SlopeOf(edge);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static double SlopeOf(in GridEdge edge) =>
        ((double)edge.Upper.X - edge.Lower.X) / ((double)edge.Upper.Y - edge.Lower.Y);
}
