using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>Counts the bytes of exposure streams without writing them, and cuts their records into the same blocks.</summary>
internal sealed class StreamSize
{
    private const int FrameBytes = StreamFormat.BlockHeader + StreamFormat.CrcBytes;
    private const int EndBytes = StreamFormat.EndPayload + FrameBytes;
    private readonly int wordBytes;
    private readonly int headerBytes;
    private readonly StreamProfile profile;
    private readonly LinkTrace? link;
    private long bytes;
    private int payload;
    private long ticks;
    private BlockStart start;
    private BlockBeam beam;

    /// <summary>The first stream begins.</summary>
    /// <param name="header">What is known of the records.</param>
    /// <param name="profile">Whether lines are written as lines.</param>
    /// <param name="link">Takes every block as it ends; null if nobody asks for blocks.</param>
    public StreamSize(RecordsHeader header, StreamProfile profile, LinkTrace? link)
    {
        this.profile = profile;
        this.link = link;
        ExposureStreamOptions options = ExposureStreamOptions.For(header.Dac, profile);
        wordBytes = options.WordBytes;
        headerBytes = StreamHeader.Encode(header, options).Length;
        bytes = headerBytes;
    }

    /// <summary>Bytes of all blocks that have ended, and of the end block.</summary>
    public long TotalBytes => bytes + EndBytes;

    /// <summary>Adds a record.</summary>
    /// <param name="record">The record.</param>
    /// <param name="time">Ticks that it takes.</param>
    /// <param name="at">Its number and place.</param>
    public void Add(in DeflectionRecord record, long time, in BlockStart at)
    {
        (int words, int count) = record.Kind switch
        {
            RecordKind.Line when profile == StreamProfile.Lines => (StreamFormat.LineWords, 1),
            RecordKind.Line => (StreamFormat.PointWords, record.Points),
            >= RecordKind.Wait => (StreamFormat.ValueWords, 1),
            _ => (StreamFormat.PointWords, 1),
        };
        Pack(words * wordBytes, count, time, record.Kind == RecordKind.Marker ? null : record.Points > 0, at);
    }

    /// <summary>Another stream begins after the one before.</summary>
    public void BeginStream()
    {
        End();
        bytes += EndBytes + headerBytes;
        link?.BeginStream();
    }

    /// <summary>The last block of records is complete.</summary>
    public void End()
    {
        if (payload > 0)
        {
            EndBlock();
        }
    }

    private void Pack(int size, int count, long time, bool? isOn, in BlockStart at)
    {
        for (int packed = 0; packed < count;)
        {
            int room = (StreamFormat.LargestPayload - payload) / size;
            if (room == 0)
            {
                EndBlock();
                continue;
            }

            start = payload == 0 ? at : start;
            int part = Math.Min(room, count - packed);
            payload += part * size;
            beam = beam.Then(isOn);
            ticks += TicksBefore(packed + part) - TicksBefore(packed);
            packed += part;
            if (link is null && packed < count)
            {
                // The whole blocks of a long line at once, but for its last point's.
                EndBlock();
                int perBlock = StreamFormat.LargestPayload / size;
                int whole = (count - packed - 1) / perBlock;
                bytes += (long)whole * (perBlock * size + FrameBytes);
                packed += whole * perBlock;
            }
        }

        // Each point of a line ends where its share of the line's ticks, rounded down, does.
        long TicksBefore(int points) => points == 0 ? 0 : points == count ? time : (long)((Int128)points * time / count);
    }

    private void EndBlock()
    {
        bytes += payload + FrameBytes;
        link?.Take(payload + FrameBytes, ticks, start, beam);
        beam = default;
        payload = 0;
        ticks = 0;
    }
}

/// <summary>The record that a block of the stream begins with.</summary>
/// <param name="Record">Its number, 0-based.</param>
/// <param name="Figure">Number of the figure it belongs to, −1 if unknown.</param>
/// <param name="XNanometres">Where the beam is at its end.</param>
/// <param name="YNanometres">Where the beam is at its end.</param>
internal readonly record struct BlockStart(long Record, long Figure, double XNanometres, double YNanometres)
{
    /// <summary>Its write field; null where everything is written from one position.</summary>
    public string? Field { get; init; }
}

/// <summary>Whether a block exposes where it begins and where it ends; null for one of markers alone, which change nothing.</summary>
/// <param name="IsOnAtStart">Its first record that is no marker exposes.</param>
/// <param name="IsOnAtEnd">Its last one does.</param>
internal readonly record struct BlockBeam(bool? IsOnAtStart, bool? IsOnAtEnd)
{
    /// <summary>With one more record; null for a marker.</summary>
    public BlockBeam Then(bool? isOn) => new(IsOnAtStart ?? isOn, isOn ?? IsOnAtEnd);
}
