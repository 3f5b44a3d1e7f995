namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// What would keep the beam on through every exposure that a block's end cuts: the same blocks through larger and smaller buffers, and over
/// faster links, each followed to the end or to its first stall amid exposure.
/// </summary>
internal sealed class LinkRemedies
{
    /// <summary>All times are whole multiples of this many units, so that they stay whole over faster links.</summary>
    public const int UnitsPerTime = 48;

    /// <summary>Most blocks that are tried.</summary>
    public const int MostBlocks = 4096;

    private static readonly (int Times, int Over)[] Rates = [(3, 2), (2, 1), (3, 1), (4, 1), (6, 1), (8, 1), (12, 1), (16, 1)];
    private readonly List<BlockQueue> buffers = [];
    private static readonly int[] RatesTogether = [2, 4, 8, 16];
    private static readonly int[] BlocksTogether = [16, 64, 256, 1024];
    private readonly List<((int Times, int Over) Rate, BlockQueue Queue)> links = [];
    private readonly List<((int Times, int Over) Rate, BlockQueue Queue)> together = [];

    /// <summary>Prepares the trials.</summary>
    /// <param name="blocks">Blocks that the controller holds now.</param>
    /// <param name="roundTrip">As a <see cref="BlockQueue"/> takes it.</param>
    public LinkRemedies(long blocks, Int128 roundTrip)
    {
        for (int power = 1; power <= MostBlocks; power *= 2)
        {
            buffers.Add(new BlockQueue(power, roundTrip));
            if (power is > 1 and < MostBlocks)
            {
                buffers.Add(new BlockQueue(power / 2 * 3, roundTrip));
            }
        }

        links.AddRange(Rates.Select(rate => (rate, new BlockQueue(blocks, roundTrip))));
        together.AddRange(RatesTogether.SelectMany(times => BlocksTogether.Where(more => more > blocks).Select(more => ((times, 1), new BlockQueue(more, roundTrip)))));
    }

    /// <summary>Fewest blocks that are enough at the link's rate; null where none of those tried is.</summary>
    public long? FewestBlocks => buffers.Count > 0 ? buffers.Min(queue => queue.Blocks) : null;

    /// <summary>Lowest rate above the link's that is enough with the blocks that there are, in parts of it; null where none of those tried is.</summary>
    public double? LowestRate => links.Count > 0 ? links[0].Rate.Times / (double)links[0].Rate.Over : null;

    /// <summary>A faster link with a larger buffer that is enough, the slowest first; null where none of those tried is.</summary>
    public (double Rate, long Blocks)? Together => together.Count > 0 ? (together[0].Rate.Times, together[0].Queue.Blocks) : null;

    /// <summary>Another stream begins.</summary>
    public void BeginStream()
    {
        buffers.ForEach(queue => queue.BeginStream());
        links.ForEach(link => link.Queue.BeginStream());
        together.ForEach(link => link.Queue.BeginStream());
    }

    /// <summary>The next block.</summary>
    /// <param name="travel">How long its bytes take over the link as it is.</param>
    /// <param name="writing">How long its records run.</param>
    /// <param name="isAmidExposure">The beam is on before and after its beginning.</param>
    public void Take(Int128 travel, Int128 writing, bool isAmidExposure)
    {
        for (int i = buffers.Count - 1; i >= 0; i--)
        {
            if (buffers[i].Take(travel, writing) > 0 && isAmidExposure)
            {
                buffers.RemoveAt(i);
            }
        }

        Take(links, travel, writing, isAmidExposure);
        Take(together, travel, writing, isAmidExposure);
    }

    private static void Take(List<((int Times, int Over) Rate, BlockQueue Queue)> tried, Int128 travel, Int128 writing, bool isAmidExposure)
    {
        for (int i = tried.Count - 1; i >= 0; i--)
        {
            ((int times, int over), BlockQueue queue) = tried[i];
            if (queue.Take(travel * over / times, writing) > 0 && isAmidExposure)
            {
                tried.RemoveAt(i);
            }
        }
    }
}
