using System.Globalization;
using CsCheck;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>The writer and the decoder against an independent receiver in C that knows only the specification.</summary>
public sealed class ReceiverTests(CReceiver receiver) : IClassFixture<CReceiver>
{
    private const int BlanksHigh = 1;
    private const int BlanksLow = 2;
    private const int NoBlanker = 3;
    private const int ForOtherMachine = 2;

    /// <summary>Name, bits, coding, and the level that the stream states; 0 if none.</summary>
    public static TheoryData<string, int, int, int> Vectors => new()
    {
        { "points-12-bit", 12, 1, BlanksHigh },
        { "lines-written-as-points-12-bit", 12, 1, BlanksLow },
        { "lines-16-bit-twos-complement", 16, 2, BlanksLow },
        { "lines-20-bit", 20, 1, BlanksHigh },
        { "lines-20-bit-wide-words", 20, 1, NoBlanker },
        { "empty-8-bit", 8, 0, 0 },
        { "version-1.0-points-12-bit", 12, 1, 0 },
        { "version-1.0-lines-20-bit", 20, 1, 0 },
    };

    [Theory]
    [MemberData(nameof(Vectors))]
    public void It_writes_what_decode_says_on_every_board_of_the_stated_level(string name, int bits, int coding, int stated)
    {
        byte[] stream = File.ReadAllBytes(Path.Combine(CReceiver.Vectors, $"{name}.stream"));
        foreach (int board in new[] { BlanksHigh, BlanksLow, NoBlanker })
        {
            (int exitCode, byte[] messages, string[] actions) = receiver.Receive(stream, bits, coding, board);
            if (stated != 0 && stated != board)
            {
                // Refused at the header: the line has never left the level that blanks.
                Assert.Equal(1, exitCode);
                Assert.Equal([board == BlanksLow ? "line low" : "line high", "beam off"], actions);
                Assert.Equal([(byte)'F', ForOtherMachine], messages[^19..^17]);
                continue;
            }

            Assert.Equal(0, exitCode);
            Assert.Equal(Expected(stream), actions.Where(action => !action.StartsWith("line ", StringComparison.Ordinal)));
            Assert.Equal((byte)'D', messages[^19]);
            AssertLine(actions, blanksHigh: board != BlanksLow);
        }
    }

    // The line has the level of every action, and the safe one at both ends.
    private static void AssertLine(string[] actions, bool blanksHigh)
    {
        string off = blanksHigh ? "line high" : "line low";
        string on = blanksHigh ? "line low" : "line high";
        string line = actions[0];
        Assert.Equal(off, line);
        foreach (string action in actions)
        {
            switch (action.Split(' ')[0])
            {
                case "line":
                    line = action;
                    break;
                case "dot":
                    Assert.Equal(on, line);
                    break;
                case "marker":
                    break;
                default:
                    Assert.Equal(off, line);
                    break;
            }
        }
    }

    [Theory]
    [MemberData(nameof(Vectors))]
    public void No_damage_leaves_the_beam_on_or_writes_anything_wrong(string name, int bits, int coding, int level)
    {
        (int exitCode, _, string error) = receiver.Run(
            "torture", [], $"{bits}", $"{coding}", Path.Combine(CReceiver.Vectors, $"{name}.stream"), $"{(level == 0 ? BlanksLow : level)}");
        Assert.True(exitCode == 0, error);
    }

    [Fact]
    public void It_writes_what_decode_says_for_any_exposure() => Exposures.Sample(
        exposure =>
        {
            var (header, items, profile) = exposure;
            using var target = new MemoryStream();
            var writer = new ExposureStreamWriter(target, profile);
            writer.Begin(header);
            writer.Write(items);
            writer.End();
            byte[] stream = target.ToArray();
            (int exitCode, _, string[] actions) = receiver.Receive(stream, header.Dac.Bits, (int)header.Dac.Coding);
            Assert.Equal(0, exitCode);
            Assert.Equal(Expected(stream), actions);
        },
        iter: Iterations.Usually(30),
        threads: 1);

    [Fact]
    public void It_refuses_a_stream_for_another_converter()
    {
        byte[] stream = File.ReadAllBytes(Path.Combine(CReceiver.Vectors, "lines-20-bit.stream"));
        (int exitCode, byte[] messages, string[] actions) = receiver.Receive(stream, 16, 1);
        Assert.Equal(1, exitCode);
        Assert.Equal(["beam off"], actions);
        Assert.Equal([(byte)'F', 2], messages[^19..^17]);
    }

    [Theory]
    [InlineData(7, 1)] // version 1.1 without its fields
    [InlineData(84, 20)] // a name beyond the header
    public void It_refuses_a_header_that_is_too_short(int offset, byte value)
    {
        byte[] stream = File.ReadAllBytes(Path.Combine(CReceiver.Vectors, "version-1.0-points-12-bit.stream"));
        stream[offset] = value;
        AssertBadHeader(stream);
    }

    [Theory]
    [InlineData(4)]
    [InlineData(255)]
    public void It_refuses_an_unknown_level(byte level)
    {
        byte[] stream = File.ReadAllBytes(Path.Combine(CReceiver.Vectors, "points-12-bit.stream"));
        stream[85 + stream[84]] = level;
        AssertBadHeader(stream);
    }

    private void AssertBadHeader(byte[] stream)
    {
        int length = stream[8] | (stream[9] << 8);
        BitConverter.GetBytes(Crc32C.Of(stream.AsSpan(0, length - 4))).CopyTo(stream, length - 4);
        (int exitCode, byte[] messages, string[] actions) = receiver.Receive(stream, 12, 1);
        Assert.Equal(1, exitCode);
        Assert.Equal(["beam off"], actions);
        Assert.Equal([(byte)'F', 1], messages[^19..^17]);
    }

    private static Gen<(RecordsHeader Header, DeflectionRecord[] Items, StreamProfile Profile)> Exposures =>
        from bits in Gen.Int[8, 24]
        from coding in Gen.Int[0, 2]
        from items in Record((1 << bits) - 1).Array[0, 200]
        from profile in Gen.Int[0, 1]
        select (
            new RecordsHeader("m", new Dac(bits, -10, 10, (DacCoding)coding, DacFullScale.LastCode), 1e6, 1, 1000, 1, 1, false),
            items,
            (StreamProfile)profile);

    private static Gen<DeflectionRecord> Record(int lastCode) =>
        from kind in Gen.Int[0, 4]
        from at in Gen.Int[0, lastCode].Array[4]
        from points in Gen.Int[1, 200]
        from ticks in Gen.OneOf(Gen.Long[0, 300], Gen.Long[0, uint.MaxValue])
        select (RecordKind)kind switch
        {
            RecordKind.Jump => DeflectionRecord.Jump(at[0], at[1], ticks),
            RecordKind.Dot => DeflectionRecord.Dot(at[0], at[1], ticks),
            RecordKind.Line => DeflectionRecord.Line(at[0], at[1], at[2], at[3], points, ticks),
            RecordKind.Wait => DeflectionRecord.Wait(ticks),
            _ => DeflectionRecord.Marker(ticks),
        };

    // The actions that the receiver should report: its codes are words of the converter.
    private static string[] Expected(byte[] stream)
    {
        var sink = new ActionSink();
        using var source = new MemoryStream(stream);
        ExposureStreamReader.Read(source, "stream", sink, new DiagnosticSink(), default);
        return [.. sink.Actions, "beam off"];
    }

    private sealed class ActionSink : IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        private int mask;

        public List<string> Actions { get; } = [];

        public void Begin(RecordsHeader header) => mask = header.Dac.Coding == DacCoding.TwosComplement ? header.Dac.CodeCount / 2 : 0;

        public void Write(ReadOnlySpan<DeflectionRecord> items)
        {
            foreach (DeflectionRecord record in items)
            {
                switch (record.Kind)
                {
                    case RecordKind.Wait:
                        Actions.Add(string.Create(CultureInfo.InvariantCulture, $"wait {record.Ticks}"));
                        break;
                    case RecordKind.Marker:
                        Actions.Add(string.Create(CultureInfo.InvariantCulture, $"marker {record.Ticks}"));
                        break;
                    case RecordKind.Jump:
                        Actions.Add(string.Create(CultureInfo.InvariantCulture, $"jump {record.X ^ mask} {record.Y ^ mask} {record.Ticks}"));
                        break;
                    default:
                        AddPoints(record);
                        break;
                }
            }
        }

        public void End()
        {
        }

        private void AddPoints(DeflectionRecord record)
        {
            for (int i = 0; i < record.Points; i++)
            {
                // A point of no ticks has no dose: it is passed over.
                LinePoint point = LinePoints.At(record, i);
                if (point.Ticks > 0)
                {
                    Actions.Add(string.Create(CultureInfo.InvariantCulture, $"dot {point.X ^ mask} {point.Y ^ mask} {point.Ticks}"));
                }
            }
        }
    }
}
