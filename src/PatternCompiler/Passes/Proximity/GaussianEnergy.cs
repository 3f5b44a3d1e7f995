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
    private const double LargestFlatness = 16;
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

        (double leftSlope, double rightSlope) = (SlopeOf(shape.Left), SlopeOf(shape.Right));
        double left = (shape.Left.Lower.X + (y - shape.Left.Lower.Y) * leftSlope - x) / range;
        double right = (shape.Right.Lower.X + (y - shape.Right.Lower.Y) * rightSlope - x) / range;

        // Where a side is far flatter than the Gaussian is wide, x changes fast with y: panels follow the faster of both.
        double changes = (top - bottom) * Math.Min(Math.Sqrt(1 + Math.Max(leftSlope * leftSlope, rightSlope * rightSlope)), LargestFlatness);
        bool isLow = changes <= FewNodesHeight;
        (double[] nodes, double[] weights) = isLow ? (FewNodes, FewWeights) : (ManyNodes, ManyWeights);
        int panels = isLow ? 1 : (int)Math.Ceiling(changes / ManyNodesHeight);
        double half = (top - bottom) / panels / 2;
        double sum = 0;
        for (int panel = 0; panel < panels; panel++)
        {
            double middle = bottom + (2 * panel + 1) * half;
            for (int i = 0; i < nodes.Length; i++)
            {
                double away = half * nodes[i];
                sum += weights[i] * (Slice(middle - away) + Slice(middle + away));
            }
        }

        return sum * half * 0.5 / Math.Sqrt(Math.PI);

        double Slice(double t) => GaussianTable.Bell(t) * (GaussianTable.Erf(right + rightSlope * t) - GaussianTable.Erf(left + leftSlope * t));
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
