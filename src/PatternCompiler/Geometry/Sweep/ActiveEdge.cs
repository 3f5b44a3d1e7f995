namespace PatternCompiler.Geometry.Sweep;

/// <summary>One link that the sweep line crosses, as a member of two ordered lists: of all links and of those on the border.</summary>
internal struct ActiveEdge
{
    public int LowerX;
    public int LowerY;
    public int UpperX;
    public int UpperY;

    /// <summary>Vertex at the upper end.</summary>
    public int UpperVertex;

    /// <summary>Index of the border edge it is part of, or -1 inside and outside the result.</summary>
    public int Border;

    public long WindingLeft;
    public long WindingRight;

    public int Previous;
    public int Next;
    public int PreviousBorder;
    public int NextBorder;

    /// <summary>Block of <see cref="ActiveEdges"/> that it belongs to.</summary>
    public int Block;

    /// <summary>The trapezoid under construction to its right, or -1.</summary>
    public int Trapezoid;

    /// <summary>Positive if the point lies to the left of the edge's line, negative to the right.</summary>
    public readonly long Side(int x, int y) =>
        (((long)UpperX - LowerX) * ((long)y - LowerY)) - (((long)UpperY - LowerY) * ((long)x - LowerX));
}
