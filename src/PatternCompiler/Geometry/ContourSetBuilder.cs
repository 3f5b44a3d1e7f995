namespace PatternCompiler.Geometry;

/// <summary>Grows a <see cref="ContourSet"/> ring by ring.</summary>
public sealed class ContourSetBuilder
{
    private readonly List<GridPoint> points = [];
    private readonly List<int> ends = [];

    /// <summary>Number of finished rings.</summary>
    public int Count => ends.Count;

    /// <summary>Adds a point to the ring under construction.</summary>
    public void Add(GridPoint point) => points.Add(point);

    /// <summary>Finishes the ring under construction; a ring without points is dropped.</summary>
    public void EndRing()
    {
        if (points.Count > (ends.Count == 0 ? 0 : ends[^1]))
        {
            ends.Add(points.Count);
        }
    }

    /// <summary>Adds a whole ring.</summary>
    public void AddRing(ReadOnlySpan<GridPoint> ring)
    {
        points.AddRange(ring);
        EndRing();
    }

    /// <summary>Adds every ring of another set.</summary>
    public void AddAll(ContourSet set)
    {
        for (int i = 0; i < set.Count; i++)
        {
            AddRing(set[i]);
        }
    }

    /// <summary>The set as built so far.</summary>
    public ContourSet ToContourSet()
    {
        EndRing();
        return new ContourSet([.. points], [.. ends]);
    }
}
