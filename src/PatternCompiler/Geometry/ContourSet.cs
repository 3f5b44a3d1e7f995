namespace PatternCompiler.Geometry;

/// <summary>
/// Closed rings of grid points, stored in one array. The closing edge is implied; the first point is not repeated.
/// What a set of rings covers is decided by a <see cref="FillRule"/>. Rings may cross themselves and each other.
/// </summary>
public sealed class ContourSet
{
    private readonly GridPoint[] points;
    private readonly int[] ends;

    internal ContourSet(GridPoint[] points, int[] ends)
    {
        this.points = points;
        this.ends = ends;
    }

    /// <summary>No rings.</summary>
    public static ContourSet Empty { get; } = new([], []);

    /// <summary>Number of rings.</summary>
    public int Count => ends.Length;

    /// <summary>Number of points in all rings together.</summary>
    public int PointCount => points.Length;

    /// <summary>All points, ring after ring.</summary>
    public ReadOnlySpan<GridPoint> Points => points;

    /// <summary>The points of one ring.</summary>
    public ReadOnlySpan<GridPoint> this[int ring]
    {
        get
        {
            int start = ring == 0 ? 0 : ends[ring - 1];
            return points.AsSpan(start, ends[ring] - start);
        }
    }

    /// <summary>The set with x and y exchanged, which mirrors it about the diagonal; rings keep their covered side.</summary>
    public ContourSet Transposed()
    {
        var exchanged = new GridPoint[points.Length];
        for (int ring = 0; ring < ends.Length; ring++)
        {
            // Run backward, since mirroring turns the sense of a ring around.
            int start = ring == 0 ? 0 : ends[ring - 1];
            for (int i = start; i < ends[ring]; i++)
            {
                GridPoint point = points[start + ends[ring] - 1 - i];
                exchanged[i] = new GridPoint(point.Y, point.X);
            }
        }

        return new ContourSet(exchanged, ends);
    }

    /// <summary>A set of one ring.</summary>
    public static ContourSet FromRing(params ReadOnlySpan<GridPoint> ring) => new(ring.ToArray(), [ring.Length]);
}
