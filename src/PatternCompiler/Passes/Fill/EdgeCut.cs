using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Where a straight edge meets a height, exact to the femtometre. The edge is given on the grid, heights and results in
/// femtometres; only 64-bit integers are used.
/// </summary>
internal static class EdgeCut
{
    /// <summary>The edge's x at a height, rounded to the nearest femtometre (halves towards larger x).</summary>
    /// <param name="edge">An edge that is not horizontal.</param>
    /// <param name="gridFemtometres">Size of a grid step.</param>
    /// <param name="height">The height; it should lie within the edge.</param>
    public static long XAt(in GridEdge edge, long gridFemtometres, long height) =>
        Across(edge.Lower.Y, edge.Lower.X, edge.Upper.Y - (long)edge.Lower.Y, edge.Upper.X - (long)edge.Lower.X, gridFemtometres, height);

    /// <summary>The edge's y at an x, rounded to the nearest femtometre (halves towards larger y).</summary>
    /// <param name="edge">An edge that is not vertical.</param>
    /// <param name="gridFemtometres">Size of a grid step.</param>
    /// <param name="x">The x; it should lie within the edge.</param>
    public static long YAt(in GridEdge edge, long gridFemtometres, long x)
    {
        (GridPoint first, GridPoint second) =
            edge.Lower.X <= edge.Upper.X ? (edge.Lower, edge.Upper) : (edge.Upper, edge.Lower);
        return Across(first.X, first.Y, second.X - (long)first.X, second.Y - (long)first.Y, gridFemtometres, x);
    }

    /// <summary>
    /// <c>b0·g + (at − a0·g)·db/da</c> with da above 0. Dividing the distance by da first keeps every product below 2^63:
    /// da and db are below 2^31, and so is the remainder of the first division.
    /// </summary>
    private static long Across(long a0, long b0, long da, long db, long grid, long at)
    {
        if (db == 0)
        {
            return b0 * grid;
        }

        (long whole, long rest) = FloorDivide(at - a0 * grid, da);
        (long cut, long fraction) = FloorDivide(rest * db, da);
        return b0 * grid + whole * db + cut + (2 * fraction >= da ? 1 : 0);
    }

    private static (long Quotient, long Remainder) FloorDivide(long dividend, long divisor)
    {
        (long quotient, long remainder) = Math.DivRem(dividend, divisor);
        return remainder < 0 ? (quotient - 1, remainder + divisor) : (quotient, remainder);
    }
}
