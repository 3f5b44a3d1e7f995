using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>Counts the bytes of an exposure stream without writing it.</summary>
internal sealed class StreamSize
{
    private const int FrameBytes = StreamFormat.BlockHeader + StreamFormat.CrcBytes;
    private readonly int wordBytes;
    private readonly StreamProfile profile;
    private long bytes;
    private int payload;

    public StreamSize(RecordsHeader header, StreamProfile profile)
    {
        this.profile = profile;
        ExposureStreamOptions options = ExposureStreamOptions.For(header.Dac, profile);
        wordBytes = options.WordBytes;
        bytes = StreamHeader.Encode(header, options).Length;
    }

    /// <summary>Bytes up to now, with the end record, as if the stream ended here.</summary>
    public long TotalBytes =>
        bytes + (payload > 0 ? payload + FrameBytes : 0) + StreamFormat.EndPayload + FrameBytes;

    /// <summary>Adds a record and returns its share of the stream's bytes, framing included.</summary>
    public double Add(in DeflectionRecord record)
    {
        (int words, int count) = record.Kind switch
        {
            RecordKind.Line when profile == StreamProfile.Lines => (StreamFormat.LineWords, 1),
            RecordKind.Line => (StreamFormat.PointWords, record.Points),
            RecordKind.Wait or RecordKind.Marker => (StreamFormat.ValueWords, 1),
            _ => (StreamFormat.PointWords, 1),
        };
        int size = words * wordBytes;
        Pack(size, count);
        return (double)size * count * (StreamFormat.LargestPayload + FrameBytes) / StreamFormat.LargestPayload;
    }

    private void Pack(int size, int count)
    {
        int fitting = (StreamFormat.LargestPayload - payload) / size;
        if (count <= fitting)
        {
            payload += count * size;
            return;
        }

        // The block under way, whole blocks, and a block that stays open.
        bytes += payload + fitting * size + FrameBytes;
        int perBlock = StreamFormat.LargestPayload / size;
        int left = count - fitting;
        int whole = (left - 1) / perBlock;
        bytes += (long)whole * (perBlock * size + FrameBytes);
        payload = (left - whole * perBlock) * size;
    }
}
