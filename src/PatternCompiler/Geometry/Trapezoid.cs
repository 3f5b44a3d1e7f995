namespace PatternCompiler.Geometry;

/// <summary>
/// The area between two heights and two edges. The sides are the true edges of the polygon it was cut from, which may
/// reach above and below the trapezoid: a corner is where an edge meets a height, not a rounded point, so that the
/// trapezoids of a polygon cover exactly its area with no gap and no overlap. A side that shrinks to a point makes a
/// triangle.
/// </summary>
/// <param name="YBottom">Lower height, in grid steps.</param>
/// <param name="YTop">Upper height, greater than <paramref name="YBottom"/>.</param>
/// <param name="Left">Edge that bounds it on the left; spans at least the two heights.</param>
/// <param name="Right">Edge that bounds it on the right; spans at least the two heights.</param>
internal readonly record struct Trapezoid(int YBottom, int YTop, GridEdge Left, GridEdge Right)
{
    /// <summary>An upright rectangle.</summary>
    public static Trapezoid FromRectangle(int xLeft, int yBottom, int xRight, int yTop) => new(
        yBottom,
        yTop,
        new(new(xLeft, yBottom), new(xLeft, yTop)),
        new(new(xRight, yBottom), new(xRight, yTop)));

    /// <summary>True if both sides are vertical.</summary>
    public bool IsRectangle => Left.IsVertical && Right.IsVertical;
}
