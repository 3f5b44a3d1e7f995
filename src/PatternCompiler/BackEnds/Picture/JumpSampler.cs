namespace PatternCompiler.BackEnds.Picture;

/// <summary>
/// Keeps a bounded, evenly thinned choice of the jumps: once too many are held, every second one is dropped and from
/// then on only every second further one is taken.
/// </summary>
internal sealed class JumpSampler(SceneExtent? window)
{
    private const int MostKept = 1200;
    private readonly ViewClip? clip = window is { } shown ? new ViewClip(shown) : null;
    private readonly List<(ScenePoint From, ScenePoint To)> kept = [];

    /// <summary>Jumps offered that meet the window.</summary>
    public long Offered { get; private set; }

    /// <summary>One in this many is kept.</summary>
    public long Stride { get; private set; } = 1;

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

        if (Offered++ % Stride != 0)
        {
            return;
        }

        if (kept.Count == MostKept)
        {
            for (int i = 0; 2 * i < kept.Count; i++)
            {
                kept[i] = kept[2 * i];
            }

            kept.RemoveRange((kept.Count + 1) / 2, kept.Count / 2);
            Stride *= 2;
            if ((Offered - 1) % Stride != 0)
            {
                return;
            }
        }

        kept.Add((from, to));
    }

    /// <summary>The kept jumps as segments.</summary>
    public ScenePath ToPath()
    {
        var path = new ScenePathBuilder();
        foreach ((ScenePoint from, ScenePoint to) in kept)
        {
            path.AddSegment(from.X, from.Y, to.X, to.Y);
        }

        return path.ToPath();
    }
}
