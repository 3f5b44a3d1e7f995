using PatternCompiler.Geometry;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>
/// Finds the corner in which two pieces with a small gap between their ends would have met. Bridging the gap would leave a
/// tiny slanted edge; moving one end onto the other would slant a straight line.
/// </summary>
internal static class ChainCorner
{
    /// <summary>
    /// The point where the line through the last two points of one piece meets the line through the first two points of the
    /// next, if it lies within the gap of both ends; null otherwise, and for parallel lines.
    /// </summary>
    public static GridPoint? TryRestore(GridPoint before, GridPoint end, GridPoint start, GridPoint after, int gap)
    {
        Int128 ux = (long)end.X - before.X;
        Int128 uy = (long)end.Y - before.Y;
        Int128 vx = (long)after.X - start.X;
        Int128 vy = (long)after.Y - start.Y;
        Int128 cross = (ux * vy) - (uy * vx);
        if (cross == 0)
        {
            return null;
        }

        // end + u·k/cross with k = (start − end) × v.
        Int128 k = (((long)start.X - end.X) * vy) - (((long)start.Y - end.Y) * vx);
        Int128 x = end.X + DivideRounded(ux * k, cross);
        Int128 y = end.Y + DivideRounded(uy * k, cross);
        if (Int128.Abs(x - end.X) > gap || Int128.Abs(y - end.Y) > gap)
        {
            return null;
        }

        var corner = new GridPoint((int)x, (int)y);
        long limit = (long)gap * gap;
        return corner.IsInRange
            && ChainNodes.SquaredDistance(corner, end) <= limit
            && ChainNodes.SquaredDistance(corner, start) <= limit ? corner : null;
    }

    private static Int128 DivideRounded(Int128 dividend, Int128 divisor)
    {
        if (divisor < 0)
        {
            (dividend, divisor) = (-dividend, -divisor);
        }

        Int128 half = divisor / 2;
        return dividend >= 0 ? (dividend + half) / divisor : -((-dividend + half) / divisor);
    }
}
