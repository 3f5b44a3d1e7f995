namespace PatternCompiler.Geometry.Sweep;

/// <summary>A trapezoid whose sides are indices of border edges.</summary>
internal struct OpenTrapezoid(int bottom)
{
    private const int Open = int.MinValue;

    public int YBottom = bottom;
    public int YTop = Open;
    public int Left;
    public int Right;

    public readonly bool IsClosed => YTop != Open;

    public readonly Trapezoid Resolve(ReadOnlySpan<BorderEdge> borders) => new(YBottom, YTop, borders[Left].Edge, borders[Right].Edge);
}
