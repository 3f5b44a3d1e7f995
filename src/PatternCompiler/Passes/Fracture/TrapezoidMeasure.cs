using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Fracture;

/// <summary>Lengths of trapezoids in grid steps, in floating point: for judging, never for geometry.</summary>
internal static class TrapezoidMeasure
{
    /// <summary>Where an edge is at a height.</summary>
    public static double XAt(GridEdge edge, double y) => edge.IsVertical
        ? edge.Lower.X
        : edge.Lower.X + (((double)edge.Upper.X - edge.Lower.X) * (y - edge.Lower.Y) / ((double)edge.Upper.Y - edge.Lower.Y));

    public static double Width(in Trapezoid t, double y) => XAt(t.Right, y) - XAt(t.Left, y);

    /// <summary>Height or mean width, whichever is smaller.</summary>
    public static double Thickness(in Trapezoid t)
    {
        double height = (double)t.YTop - t.YBottom;
        return Math.Min(height, Width(t, t.YBottom + (height / 2)));
    }
}
