namespace PatternCompiler.Geometry;

/// <summary>
/// Closed rings of grid points, stored in one array. The closing edge is implied; the first point is not repeated.
/// What a set of rings covers is decided by a <see cref="FillRule"/>. Rings may cross themselves and each other.
/// </summary>
internal sealed class ContourSet
{
    private readonly GridPoint[] store;
    private readonly int start;

    // Where each ring ends, from the start; null for a single ring.
    private readonly int[]? ends;

    /// <summary>A set of the first points of an array, as many as the last ring's end says.</summary>
    internal ContourSet(GridPoint[] points, int[] ends)
    {
        store = points;
        PointCount = ends.Length == 0 ? 0 : ends[^1];
        this.ends = ends;
    }

    /// <summary>A set of one ring that is part of a larger array.</summary>
    internal ContourSet(GridPoint[] store, int start, int length)
    {
        this.store = store;
        this.start = start;
        PointCount = length;
    }

    /// <summary>No rings.</summary>
    public static ContourSet Empty { get; } = new([], []);

    /// <summary>Number of rings.</summary>
    public int Count => ends is null ? 1 : ends.Length;

    /// <summary>Number of points in all rings together.</summary>
    public int PointCount { get; }

    /// <summary>All points, ring after ring.</summary>
    public ReadOnlySpan<GridPoint> Points => store.AsSpan(start, PointCount);

    /// <summary>The points of one ring.</summary>
    public ReadOnlySpan<GridPoint> this[int ring]
    {
        get
        {
            if (ends is null)
            {
                ArgumentOutOfRangeException.ThrowIfNotEqual(ring, 0);
                return Points;
            }

            int first = ring == 0 ? 0 : ends[ring - 1];
            return store.AsSpan(start + first, ends[ring] - first);
        }
    }

    /// <summary>The set with x and y exchanged, which mirrors it about the diagonal; rings keep their covered side.</summary>
    public ContourSet Transposed()
    {
        var exchanged = new GridPoint[PointCount];
        int first = 0;
        for (int i = 0; i < Count; i++)
        {
            // Run backward, since mirroring turns the sense of a ring around.
            ReadOnlySpan<GridPoint> ring = this[i];
            for (int k = 0; k < ring.Length; k++)
            {
                GridPoint point = ring[ring.Length - 1 - k];
                exchanged[first + k] = new GridPoint(point.Y, point.X);
            }

            first += ring.Length;
        }

        return ends is null ? new ContourSet(exchanged, 0, exchanged.Length) : new ContourSet(exchanged, ends);
    }

    /// <summary>A set of one ring.</summary>
    public static ContourSet FromRing(params ReadOnlySpan<GridPoint> ring) => new(ring.ToArray(), 0, ring.Length);
}
