using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Fields;

/// <summary>Where an edge meets heights and upright lines, by exact division.</summary>
internal static class EdgeLine
{
    /// <summary>Sign of the edge's x at a height less <paramref name="x"/>.</summary>
    public static int Side(GridEdge edge, int y, int x)
    {
        long height = (long)edge.Upper.Y - edge.Lower.Y;
        long run = (long)edge.Upper.X - edge.Lower.X;
        Int128 difference = ((Int128)((long)edge.Lower.X - x) * height) + ((Int128)run * ((long)y - edge.Lower.Y));
        return Int128.Sign(difference);
    }

    /// <summary>The last whole x at or before the edge at a height.</summary>
    public static int Floor(GridEdge edge, int y) => (int)(edge.Lower.X + FloorOf(Rise(edge, y), (long)edge.Upper.Y - edge.Lower.Y));

    /// <summary>The first whole x at or after the edge at a height.</summary>
    public static int Ceiling(GridEdge edge, int y) => (int)(edge.Lower.X - FloorOf(-Rise(edge, y), (long)edge.Upper.Y - edge.Lower.Y));

    /// <summary>The last whole height at or below the place where a slanted edge meets an upright line.</summary>
    public static int HeightBelow(GridEdge edge, int x)
    {
        (long product, long run) = Meeting(edge, x);
        return (int)(edge.Lower.Y + FloorOf(product, run));
    }

    /// <summary>The first whole height at or above that place.</summary>
    public static int HeightAbove(GridEdge edge, int x)
    {
        (long product, long run) = Meeting(edge, x);
        return (int)(edge.Lower.Y - FloorOf(-product, run));
    }

    private static long Rise(GridEdge edge, int y) => ((long)edge.Upper.X - edge.Lower.X) * ((long)y - edge.Lower.Y);

    private static (long Product, long Run) Meeting(GridEdge edge, int x)
    {
        long run = (long)edge.Upper.X - edge.Lower.X;
        long product = ((long)x - edge.Lower.X) * ((long)edge.Upper.Y - edge.Lower.Y);
        return run > 0 ? (product, run) : (-product, -run);
    }

    private static long FloorOf(long numerator, long denominator) =>
        (numerator / denominator) - (numerator % denominator < 0 ? 1 : 0);
}
