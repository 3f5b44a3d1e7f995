using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Instrument;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// Follows the blocks of exposure streams over the link and through the controller, as the stream's README.md has it. A
/// record is written once its whole block has come, writing starts with the first block, a block's room is free again when its
/// last record is done, and a block is sent only when the credit for its room has come back.
/// </summary>
/// <remarks>Memory grows with the controller's buffer, by 16 bytes for a block, and not with the streams.</remarks>
internal sealed class LinkTrace
{
    private readonly Link link;
    private readonly double clockHertz;
    private readonly long blocksHeld;

    // Times are whole numbers of one unit, so that a block that comes just in time is no stall.
    private readonly Int128 unitsPerByte;
    private readonly Int128 unitsPerTick;
    private readonly double scaledRate;
    private readonly BlockQueue queue;
    private readonly LinkRemedies remedies;
    private readonly RateWindow window;
    private long totalBytes;
    private Int128 totalTicks;
    private Int128 stalled;
    private Int128 stalledInside;
    private Int128 longest;
    private long stalls;
    private long stallsInside;
    private bool isOn;
    private StallPlace? worst;
    private StallPlace? first;
    private StallPlace? firstInside;

    /// <summary>Prepares to follow streams; the first one begins.</summary>
    /// <param name="link">The link and the controller's buffer.</param>
    /// <param name="clockHertz">Ticks per second.</param>
    public LinkTrace(Link link, double clockHertz)
    {
        this.link = link;
        this.clockHertz = clockHertz;

        // A receiver gives credit before it knows how long a block will be.
        blocksHeld = link.Blocks > 0 ? link.Blocks : Math.Max(1, link.BufferBytes / StreamFormat.LargestBlock);
        window = new RateWindow(blocksHeld);

        // A byte takes as many units as there are ticks in a second, and a tick as many as there are bytes; both times a power
        // of two that keeps 53 bits of the larger one. Whole rates below that are exact.
        const int KeptBits = 52;
        int power = KeptBits - Math.ILogB(Math.Max(clockHertz, link.BytesPerSecond));
        scaledRate = Math.ScaleB(link.BytesPerSecond, power) * LinkRemedies.UnitsPerTime;
        unitsPerByte = (Int128)Math.Round(Math.ScaleB(clockHertz, power)) * LinkRemedies.UnitsPerTime;
        unitsPerTick = (Int128)Math.Round(Math.ScaleB(link.BytesPerSecond, power)) * LinkRemedies.UnitsPerTime;
        Int128 roundTrip = (Int128)Math.Round(link.LatencySeconds * clockHertz) * unitsPerTick;
        queue = new BlockQueue(blocksHeld, roundTrip);
        remedies = new LinkRemedies(blocksHeld, roundTrip);
    }

    /// <summary>Is told of every stall, and how many seconds it takes; null for nobody.</summary>
    public Action<StallPlace, double>? Stalled { get; init; }

    /// <summary>
    /// Another stream begins after the one before. Its header and first block travel before it is written, which is no stall.
    /// </summary>
    public void BeginStream()
    {
        isOn = false;
        queue.BeginStream();
        remedies.BeginStream();
    }

    /// <summary>Takes the next block of records.</summary>
    /// <param name="bytes">Its bytes, framing included.</param>
    /// <param name="ticks">How long its records run.</param>
    /// <param name="start">Its first record.</param>
    /// <param name="beam">Whether it exposes where it begins and where it ends.</param>
    public void Take(int bytes, long ticks, in BlockStart start, BlockBeam beam)
    {
        Int128 travel = bytes * unitsPerByte;
        Int128 writing = ticks * unitsPerTick;
        bool isAmidExposure = isOn && beam.IsOnAtStart != false;
        Int128 stall = queue.Take(travel, writing);
        if (stall > 0)
        {
            Stall(stall, start, isAmidExposure);
        }

        remedies.Take(travel, writing, isAmidExposure);
        isOn = beam.IsOnAtEnd ?? isOn;
        totalBytes += bytes;
        totalTicks += ticks;
        window.Take(bytes, ticks);
    }

    /// <summary>What was found.</summary>
    public LinkEstimate ToEstimate() => new(
        link.BytesPerSecond,
        link.BufferBytes,
        totalTicks > 0 ? totalBytes / Seconds(totalTicks * unitsPerTick) : 0,
        window.BusiestBytesPerTick * clockHertz,
        stalls,
        Seconds(stalled),
        Seconds(longest),
        first,
        worst)
    {
        RoundTripSeconds = link.LatencySeconds,
        Blocks = blocksHeld,
        StallsAmidExposure = stallsInside,
        StallSecondsAmidExposure = Seconds(stalledInside),
        FirstStallAmidExposure = firstInside,
        NeededBlocks = remedies.FewestBlocks,
        NeededBufferBytes = remedies.FewestBlocks * StreamFormat.LargestBlock,
        NeededTogether = remedies.Together is (double rate, long blocks) ? (rate * link.BytesPerSecond, blocks) : null,
        NeededBytesPerSecond = stallsInside == 0 ? link.BytesPerSecond : remedies.LowestRate * link.BytesPerSecond,
    };

    private void Stall(Int128 time, in BlockStart start, bool isAmidExposure)
    {
        stalls++;
        var place = new StallPlace(start.Record, start.Figure, start.XNanometres, start.YNanometres, Seconds(totalTicks * unitsPerTick + stalled)) { Field = start.Field };
        Stalled?.Invoke(place, Seconds(time));
        first ??= place;
        if (time > longest)
        {
            longest = time;
            worst = place;
        }

        if (isAmidExposure)
        {
            stallsInside++;
            stalledInside += time;
            firstInside ??= place;
        }

        stalled += time;
    }

    private double Seconds(Int128 units) => (double)units / scaledRate / clockHertz;
}
