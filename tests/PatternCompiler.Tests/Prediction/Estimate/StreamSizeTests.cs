using CsCheck;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Tests.BackEnds;

namespace PatternCompiler.Tests.Prediction.Estimate;

/// <summary>The counted bytes are those of the written stream, whether anybody asks for its blocks or not, and the blocks are those of points packed one by one.</summary>
public sealed class StreamSizeTests
{
    private static readonly Gen<DeflectionRecord[]> Items = Gen.Select(Gen.Int[0, 3], Gen.Int[1, 400], Gen.Long[0, 90_000], (kind, points, ticks) => kind switch
    {
        0 => DeflectionRecord.Jump(points, 4, ticks),
        1 => DeflectionRecord.Dot(points, 5, ticks),
        2 => DeflectionRecord.Marker(points),
        _ => DeflectionRecord.Line(1, 2, 1 + points, 2, points + 1, ticks),
    }).Array[1, 25];

    [Theory]
    [InlineData(false, 12)]
    [InlineData(false, 20)]
    [InlineData(true, 12)]
    [InlineData(true, 20)]
    public void Bytes_and_blocks_are_those_of_the_stream(bool asLines, int bits)
    {
        StreamProfile profile = asLines ? StreamProfile.Lines : StreamProfile.Points;
        RecordsHeader header = Exposures.Header(bits);
        int wordBytes = ExposureStreamOptions.For(header.Dac, profile).WordBytes;
        Gen.Select(Items, Items).Sample((first, second) =>
        {
            (LinkTrace found, LinkTrace expected) = (Trace(), Trace());
            StreamSize alone = new(header, profile, null), traced = new(header, profile, found);
            foreach (DeflectionRecord[] stream in (DeflectionRecord[][])[first, second])
            {
                if (stream == second)
                {
                    alone.BeginStream();
                    traced.BeginStream();
                    expected.BeginStream();
                }

                for (int i = 0; i < stream.Length; i++)
                {
                    alone.Add(stream[i], TimeOf(stream[i]), At(i));
                    traced.Add(stream[i], TimeOf(stream[i]), At(i));
                }

                Pack(stream, profile, wordBytes, expected);
            }

            alone.End();
            traced.End();
            Assert.Equal(Written(header, profile, first) + Written(header, profile, second), alone.TotalBytes);
            Assert.Equal(alone.TotalBytes, traced.TotalBytes);
            Assert.Equal(expected.ToEstimate(), found.ToEstimate());
        }, iter: Iterations.Usually(30));
    }

    private static LinkTrace Trace() => new(new Link(2e6, 3 * 526, true), 1e7);

    private static BlockStart At(int record) => new(record, record + 1, 2 * record, 3 * record);

    private static long TimeOf(DeflectionRecord record) => record.Kind == RecordKind.Marker ? 0 : record.Ticks * Math.Max(1, record.Points) + 1;

    private static long Written(RecordsHeader header, StreamProfile profile, DeflectionRecord[] records)
    {
        using var stream = new MemoryStream();
        var writer = new ExposureStreamWriter(stream, profile);
        writer.Begin(header);
        writer.Write(records);
        writer.End();
        return stream.Length;
    }

    // The stream's page: up to 512 bytes of records a block, 14 bytes around them; 5 words a point, 11 a line, 3 a marker. A point of a
    // line ends where its share of the line's ticks does, rounded down.
    private static void Pack(DeflectionRecord[] records, StreamProfile profile, int wordBytes, LinkTrace trace)
    {
        int held = 0;
        long ticks = 0;
        BlockStart start = default;
        BlockBeam beam = default;
        for (int i = 0; i < records.Length; i++)
        {
            bool isLine = records[i].Kind == RecordKind.Line;
            int count = isLine && profile == StreamProfile.Points ? records[i].Points : 1;
            int size = wordBytes * (records[i].Kind == RecordKind.Marker ? 3 : isLine && profile == StreamProfile.Lines ? 11 : 5);
            for (int point = 0; point < count; point++)
            {
                if (held + size > 512)
                {
                    trace.Take(held + 14, ticks, start, beam);
                    (held, ticks, beam) = (0, 0, default);
                }

                start = held == 0 ? At(i) : start;
                beam = records[i].Kind == RecordKind.Marker ? beam : new BlockBeam(beam.IsOnAtStart ?? records[i].Kind != RecordKind.Jump, records[i].Kind != RecordKind.Jump);
                ticks += (point + 1) * TimeOf(records[i]) / count - point * TimeOf(records[i]) / count;
                held += size;
            }
        }

        trace.Take(held + 14, ticks, start, beam);
    }
}
