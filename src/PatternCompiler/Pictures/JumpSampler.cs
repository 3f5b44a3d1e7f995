namespace PatternCompiler.Pictures;

/// <summary>
/// Keeps the longest jumps, a bounded number of them: they cross the pattern, and they are where a stray line would show.
/// Of jumps of equal length the earlier ones are kept.
/// </summary>
internal sealed class JumpSampler(SceneExtent? window)
{
    private const int MostKept = 1200;
    private readonly ViewClip? clip = window is { } shown ? new ViewClip(shown) : null;
    private readonly PriorityQueue<(long Number, ScenePoint From, ScenePoint To), (double Length, long Negated)> kept = new();

    /// <summary>Jumps offered that meet the window.</summary>
    public long Offered { get; private set; }

    /// <summary>Jumps kept.</summary>
    public int Kept => kept.Count;

    /// <summary>Offers a jump.</summary>
    public void Add(ScenePoint from, ScenePoint to)
    {
        ScenePoint a = from;
        ScenePoint b = to;
        if (clip is not null && !clip.ClipSegment(ref a, ref b))
        {
            return;
        }

        double dx = to.X - from.X;
        double dy = to.Y - from.Y;
        (double, long) rank = (dx * dx + dy * dy, -Offered);
        if (kept.Count < MostKept)
        {
            kept.Enqueue((Offered, from, to), rank);
        }
        else
        {
            kept.EnqueueDequeue((Offered, from, to), rank);
        }

        Offered++;
    }

    /// <summary>The kept jumps as segments, in the order of writing.</summary>
    public ScenePath ToPath()
    {
        var path = new ScenePathBuilder();
        foreach ((_, ScenePoint from, ScenePoint to) in kept.UnorderedItems.Select(item => item.Element).OrderBy(jump => jump.Number))
        {
            path.AddSegment(from.X, from.Y, to.X, to.Y);
        }

        return path.ToPath();
    }
}
