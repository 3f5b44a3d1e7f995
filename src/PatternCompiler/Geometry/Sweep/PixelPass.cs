namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Whether an edge passes through the unit square about a grid point. The square contains its left and lower side and no
/// other part of its border, so that squares tile the plane and rounding halves upward names the square that holds a
/// point.
/// </summary>
internal static class PixelPass
{
    /// <summary>
    /// Exact, given that <paramref name="x"/>, <paramref name="y"/> lies within the edge's bounding box and no
    /// further than 2^30 edge lengths from its line: the products may wrap, their difference does not.
    /// </summary>
    public static PassKind Judge(in InputEdge edge, int x, int y)
    {
        long dx = (long)edge.UpperX - edge.LowerX;
        long dy = (long)edge.UpperY - edge.LowerY;
        long twiceArea = unchecked(2 * ((dx * ((long)y - edge.LowerY)) - (dy * ((long)x - edge.LowerX))));
        long reach = Math.Abs(dx) + dy;

        if (twiceArea == 0)
        {
            return PassKind.ThroughCentre;
        }

        // On equality the line meets the closed square in one corner, which belongs to it only at the lower left.
        return Math.Abs(twiceArea) < reach || (twiceArea == -reach && dx < 0) ? PassKind.BesideCentre : PassKind.None;
    }
}

/// <summary>How an edge meets the unit square about a grid point.</summary>
internal enum PassKind
{
    /// <summary>Not at all.</summary>
    None,

    /// <summary>Exactly through the grid point.</summary>
    ThroughCentre,

    /// <summary>Through the square, beside the grid point.</summary>
    BesideCentre,
}
