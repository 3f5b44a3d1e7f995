namespace PatternCompiler.Geometry.Sweep;

/// <summary>One ring of a <see cref="RingList"/>; rings are ordered by their first, then by their second point.</summary>
internal readonly record struct OutlineRing(int Start, int Length, GridPoint First, GridPoint Second) : IComparable<OutlineRing>
{
    public int CompareTo(OutlineRing other)
    {
        int order = Compare(First, other.First);
        return order != 0 ? order : Compare(Second, other.Second);
    }

    private static int Compare(GridPoint a, GridPoint b) => a.Y != b.Y ? a.Y.CompareTo(b.Y) : a.X.CompareTo(b.X);
}
