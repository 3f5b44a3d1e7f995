namespace PatternCompiler.Geometry;

/// <summary>Grows a <see cref="ContourSet"/> ring by ring.</summary>
internal sealed class ContourSetBuilder
{
    private const int FirstBlock = 16;
    private const int LargestBlock = 1 << 20;

    // Points lie in blocks, so that a large set is copied once, at its end, and not again whenever it grows.
    private readonly List<GridPoint[]> fullBlocks = [];
    private readonly List<int> ends = [];
    private GridPoint[] block = [];
    private int used;
    private int pointsInFullBlocks;

    /// <summary>Builds a set of any size.</summary>
    public ContourSetBuilder()
    {
    }

    /// <summary>Builds a set whose size is known, in the memory that it keeps.</summary>
    /// <param name="mostPoints">No fewer points than the set will have, and hardly more.</param>
    public ContourSetBuilder(int mostPoints) => block = GC.AllocateUninitializedArray<GridPoint>(mostPoints);

    /// <summary>Number of finished rings.</summary>
    public int Count => ends.Count;

    private int PointCount => checked(pointsInFullBlocks + used);

    /// <summary>Adds a point to the ring under construction.</summary>
    public void Add(GridPoint point)
    {
        if (used == block.Length)
        {
            Grow();
        }

        block[used++] = point;
    }

    /// <summary>Finishes the ring under construction; a ring without points is dropped.</summary>
    public void EndRing()
    {
        if (PointCount > (ends.Count == 0 ? 0 : ends[^1]))
        {
            ends.Add(PointCount);
        }
    }

    /// <summary>Adds a whole ring.</summary>
    public void AddRing(ReadOnlySpan<GridPoint> ring)
    {
        while (!ring.IsEmpty)
        {
            if (used == block.Length)
            {
                Grow();
            }

            int count = Math.Min(ring.Length, block.Length - used);
            ring[..count].CopyTo(block.AsSpan(used));
            used += count;
            ring = ring[count..];
        }

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
        if (fullBlocks.Count == 0 && used >= block.Length - block.Length / 8)
        {
            return new ContourSet(block, [.. ends]);
        }

        GridPoint[] points = GC.AllocateUninitializedArray<GridPoint>(PointCount);
        int next = 0;
        foreach (GridPoint[] full in fullBlocks)
        {
            full.CopyTo(points, next);
            next += full.Length;
        }

        block.AsSpan(0, used).CopyTo(points.AsSpan(next));
        return new ContourSet(points, [.. ends]);
    }

    private void Grow()
    {
        if (block.Length < LargestBlock)
        {
            Array.Resize(ref block, Math.Max(FirstBlock, 2 * block.Length));
            return;
        }

        fullBlocks.Add(block);
        pointsInFullBlocks += block.Length;
        block = new GridPoint[LargestBlock];
        used = 0;
    }
}
