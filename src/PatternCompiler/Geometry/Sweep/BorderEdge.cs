namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// One straight edge of the result's border, directed so that the covered side is on its left. A horizontal edge has
/// its left end as lower end.
/// </summary>
internal struct BorderEdge
{
    public int LowerX;
    public int LowerY;
    public int UpperX;
    public int UpperY;

    /// <summary>True if it runs from its lower (left) to its upper (right) end.</summary>
    public bool RunsUp;

    /// <summary>Index of the edge that continues the outline at the end of this one.</summary>
    public int Follower;

    /// <summary>Number of the vertex at its start if more than two edges meet there, otherwise -1.</summary>
    public int Junction;

    public readonly GridPoint Start => RunsUp ? new(LowerX, LowerY) : new(UpperX, UpperY);

    public readonly GridEdge Edge => new(new(LowerX, LowerY), new(UpperX, UpperY));
}
