namespace PatternCompiler.Geometry.Recurrence;

/// <summary>Items of one part of a region, moved.</summary>
/// <param name="Part">Which part.</param>
/// <param name="Dx">Grid steps to the right.</param>
/// <param name="Dy">Grid steps upward.</param>
/// <param name="First">The first of the part's items.</param>
/// <param name="Count">How many follow each other from there.</param>
internal readonly record struct MovedCopy(int Part, int Dx, int Dy, int First, int Count)
{
    public GridPoint Move(GridPoint point) => new(point.X + Dx, point.Y + Dy);

    public GridEdge Move(GridEdge edge) => new(Move(edge.Lower), Move(edge.Upper));
}
