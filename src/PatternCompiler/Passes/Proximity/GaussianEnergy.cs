using System.Runtime.CompilerServices;
using MathNet.Numerics;
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

    // Gauss–Legendre on [−1, 1], 8 nodes (Abramowitz and Stegun, table 25.4).
    private static readonly double[] Nodes = [0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363];
    private static readonly double[] Weights = [0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763];

    /// <summary>A trapezoid with horizontal parallel sides.</summary>
    public static double OfTrapezoid(in Trapezoid shape, double x, double y, double range)
    {
        if (shape.IsRectangle)
        {
            return 0.5 * (Erf((shape.YTop - y) / range) - Erf((shape.YBottom - y) / range))
                * 0.5 * (Erf((shape.Right.Lower.X - x) / range) - Erf((shape.Left.Lower.X - x) / range));
        }

        double bottom = Math.Max(shape.YBottom, y - Reach * range);
        double top = Math.Min(shape.YTop, y + Reach * range);
        if (bottom >= top)
        {
            return 0;
        }

        // Where a side is far flatter than the Gaussian is wide, x changes fast with y: panels follow the faster of both.
        double flatness = Math.Max(Math.Abs(SlopeOf(shape.Left)), Math.Abs(SlopeOf(shape.Right)));
        double panelHeight = range / Math.Clamp(flatness, 1, 16);
        int panels = Math.Max(1, (int)Math.Ceiling((top - bottom) / panelHeight));
        double half = (top - bottom) / panels / 2;
        double sum = 0;
        for (int panel = 0; panel < panels; panel++)
        {
            double middle = bottom + (2 * panel + 1) * half;
            for (int i = 0; i < Nodes.Length; i++)
            {
                sum += Weights[i] * (Slice(shape, x, y, middle - half * Nodes[i], range) + Slice(shape, x, y, middle + half * Nodes[i], range));
            }
        }

        return sum * half;
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
        return Math.Exp(-across * across / (range * range)) / (Math.Sqrt(Math.PI) * range)
            * 0.5 * (Erf((length - along) / range) - Erf(-along / range));
    }

    /// <summary>A dot of unit charge.</summary>
    public static double OfDot(GridPoint position, double x, double y, double range)
    {
        double dx = position.X - x;
        double dy = position.Y - y;
        return Math.Exp(-(dx * dx + dy * dy) / (range * range)) / (Math.PI * range * range);
    }

    /// <summary>x of an edge at a height, in floating point.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double XAt(in GridEdge edge, double y) =>
        edge.IsVertical ? edge.Lower.X : edge.Lower.X + (y - edge.Lower.Y) * SlopeOf(edge);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static double SlopeOf(in GridEdge edge) =>
        ((double)edge.Upper.X - edge.Lower.X) / ((double)edge.Upper.Y - edge.Lower.Y);

    private static double Slice(in Trapezoid shape, double x, double y, double height, double range)
    {
        double t = (height - y) / range;
        return Math.Exp(-t * t) / (Math.Sqrt(Math.PI) * range)
            * 0.5 * (Erf((XAt(shape.Right, height) - x) / range) - Erf((XAt(shape.Left, height) - x) / range));
    }

    // Most neighbours are many ranges away in one axis, where the answer is known without a series.
    private static double Erf(double t) => t > 6 ? 1 : t < -6 ? -1 : SpecialFunctions.Erf(t);
}
