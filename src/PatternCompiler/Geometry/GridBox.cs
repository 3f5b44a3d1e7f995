namespace PatternCompiler.Geometry;

/// <summary>An upright rectangle of grid points, both ends included; empty if its left lies right of its right.</summary>
/// <param name="XLeft">Smallest x.</param>
/// <param name="YBottom">Smallest y.</param>
/// <param name="XRight">Largest x.</param>
/// <param name="YTop">Largest y.</param>
internal readonly record struct GridBox(int XLeft, int YBottom, int XRight, int YTop)
{
    /// <summary>Holds no point.</summary>
    public static GridBox Empty => new(int.MaxValue, int.MaxValue, int.MinValue, int.MinValue);

    /// <summary>True if it holds no point.</summary>
    public bool IsEmpty => XLeft > XRight || YBottom > YTop;

    /// <summary>The smallest box around all points of a set.</summary>
    public static GridBox Around(ContourSet rings) => Around(rings.Points);

    /// <summary>The smallest box around all points of a list.</summary>
    public static GridBox Around(ReadOnlySpan<GridPoint> points)
    {
        int left = int.MaxValue, bottom = int.MaxValue, right = int.MinValue, top = int.MinValue;
        foreach (GridPoint point in points)
        {
            left = Math.Min(left, point.X);
            right = Math.Max(right, point.X);
            bottom = Math.Min(bottom, point.Y);
            top = Math.Max(top, point.Y);
        }

        return new GridBox(left, bottom, right, top);
    }

    /// <summary>True if the two share area, not only border.</summary>
    public bool Overlaps(GridBox other) =>
        XLeft < other.XRight && other.XLeft < XRight && YBottom < other.YTop && other.YBottom < YTop;

    /// <summary>Its outline, counter-clockwise.</summary>
    public ContourSet ToContourSet() =>
        ContourSet.FromRing(new(XLeft, YBottom), new(XRight, YBottom), new(XRight, YTop), new(XLeft, YTop));
}
