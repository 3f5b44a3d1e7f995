namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// Finds the stretch of as many blocks as a buffer holds that needs most bytes for its time. Large buffers are stepped through in
/// parts, so that memory is the same for all.
/// </summary>
internal sealed class RateWindow
{
    private const int MostSteps = 64;
    private readonly long blocksPerStep;
    private readonly (long Bytes, long Ticks)[] steps;
    private (long Bytes, long Ticks) open;
    private (long Bytes, Int128 Ticks) sum;
    private long openBlocks;
    private long stepCount;

    /// <summary>Prepares the search.</summary>
    /// <param name="blocks">Blocks in the stretch.</param>
    public RateWindow(long blocks)
    {
        blocksPerStep = (blocks + MostSteps - 1) / MostSteps;
        steps = new (long, long)[blocks / blocksPerStep];
    }

    /// <summary>The most that a stretch needs; 0 if there was none as long.</summary>
    public double BusiestBytesPerTick { get; private set; }

    /// <summary>Takes the next block.</summary>
    public void Take(int bytes, long ticks)
    {
        open = (open.Bytes + bytes, open.Ticks + ticks);
        if (++openBlocks < blocksPerStep)
        {
            return;
        }

        ref (long Bytes, long Ticks) oldest = ref steps[stepCount++ % steps.Length];
        sum = (sum.Bytes + open.Bytes - oldest.Bytes, sum.Ticks + open.Ticks - oldest.Ticks);
        oldest = open;
        open = default;
        openBlocks = 0;
        if (stepCount >= steps.Length && sum.Ticks > 0)
        {
            BusiestBytesPerTick = Math.Max(BusiestBytesPerTick, sum.Bytes / (double)sum.Ticks);
        }
    }
}
