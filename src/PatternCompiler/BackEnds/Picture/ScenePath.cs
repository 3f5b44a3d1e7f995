namespace PatternCompiler.BackEnds.Picture;

/// <summary>Many polylines, rings or dots in one array.</summary>
public sealed class ScenePath
{
    private readonly ScenePoint[] points;
    private readonly int[] ends;

    internal ScenePath(ScenePoint[] points, int[] ends)
    {
        this.points = points;
        this.ends = ends;
    }

    /// <summary>Number of parts.</summary>
    public int Count => ends.Length;

    /// <summary>The points of one part.</summary>
    public ReadOnlySpan<ScenePoint> this[int part]
    {
        get
        {
            int start = part == 0 ? 0 : ends[part - 1];
            return points.AsSpan(start, ends[part] - start);
        }
    }
}
