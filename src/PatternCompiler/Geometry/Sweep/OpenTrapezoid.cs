namespace PatternCompiler.Geometry.Sweep;

/// <summary>A trapezoid whose sides are indices of border edges.</summary>
internal struct OpenTrapezoid
{
    public int YBottom;
    public int YTop;
    public int Left;
    public int Right;
}
