using System.Text;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.Model.Records;

public sealed class RecordsCarrierTests
{
    private const string Example = """
        records 1
        machine "teaching microscope"
        bits 12
        range -10 10 V
        coding offset-binary
        full-scale one-beyond-last-code
        clock 10000000 Hz
        dwell 1 65535 ticks
        step 24.4140625 -24.4140625 nm
        axes straight
        marker 7
        jump 2048 2048 500
        line 2048 2048 2148 2048 101 2020
        dot 0 4095 20
        wait 100
        end 5 102 2640

        """;

    private const string Head = "records 1\nmachine \"m\"\nbits 12\nrange -10 10 V\ncoding straight\nfull-scale last-code\nclock 1e7 Hz\ndwell 1 9 ticks\nstep 1 1 nm\naxes swapped\n";

    [Fact]
    public void Text_reads_as_specified_and_prints_the_same_bytes()
    {
        CollectingSink<RecordsHeader, DeflectionRecord> sink = Read(Encoding.UTF8.GetBytes(Example));
        Assert.Equal(
            new RecordsHeader(
                "teaching microscope",
                new Dac(12, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode),
                1e7,
                1,
                65535,
                24.4140625,
                -24.4140625,
                false),
            sink.Header);
        Assert.Equal(
            [
                DeflectionRecord.Marker(7),
                DeflectionRecord.Jump(2048, 2048, 500),
                DeflectionRecord.Line(2048, 2048, 2148, 2048, 101, 2020),
                DeflectionRecord.Dot(0, 4095, 20),
                DeflectionRecord.Wait(100),
            ],
            sink.Items);
        Assert.Equal(Example, Encoding.UTF8.GetString(Text(sink.Header!, [.. sink.Items])));
    }

    // What stands behind the axes may be left out, each line for itself.
    [Theory]
    [InlineData("", BlankLevel.NotStated)]
    [InlineData("blank high\n", BlankLevel.High)]
    [InlineData("blank low\n", BlankLevel.Low)]
    [InlineData("blank none\n", BlankLevel.NoBlanker)]
    [InlineData("made-for 00000000000000000000000000000001 00000000000000000000000000000000\n", BlankLevel.NotStated)]
    [InlineData("blank low\nmade-for 00000000000000000000000000000001 0123456789abcdef0123456789abcdef\n", BlankLevel.Low)]
    public void Level_and_origin_print_the_same_bytes(string lines, BlankLevel level)
    {
        string text = Example.Replace("marker 7", lines + "marker 7", StringComparison.Ordinal);
        CollectingSink<RecordsHeader, DeflectionRecord> sink = Read(Encoding.UTF8.GetBytes(text));
        Assert.Equal(level, sink.Header!.BlankLevel);
        Assert.Equal(lines.Contains("made-for", StringComparison.Ordinal), sink.Header.MadeFor.Settings == new SettingsDigest(1));
        Assert.Equal(text, Encoding.UTF8.GetString(Text(sink.Header, [.. sink.Items])));
    }

    [Theory]
    [InlineData("blank up\n", "11:7: error PC0803: expected the level of the blank line, found \"up\"; write one of: high, low, none")]
    [InlineData("blank high low\n", "11:12: error PC0803: expected the end of the line, found \"low\"")]
    [InlineData("made-for 1 2\n", "11:10: error PC0803: expected 32 hexadecimal digits for the digest of the machine's settings, found \"1\"")]
    [InlineData("made-for 00000000000000000000000000000001\n", "11:42: error PC0803: expected 32 hexadecimal digits for the digest of the dose settings, found the end of the line")]
    [InlineData("made-for 00000000000000000000000000000001 00000000000000000000000000000001\nblank high\n", "12:1: error PC0803: expected jump, dot, line, wait, trigger, marker or end, found \"blank\"")]
    public void Level_and_origin_are_named_where_they_are_wrong(string lines, string expected) => Assert.EndsWith(
        expected,
        Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes(Head + lines + "end 0 0 0\n"))).Message.Split('\n')[0],
        StringComparison.Ordinal);

    // The header as binary documents had it before they stated the level.
    [Fact]
    public void An_older_binary_document_is_read_and_states_no_level()
    {
        using var target = new MemoryStream();
        var output = new FrameOutput(target);
        output.Magic(CarrierMagic.Records);
        output.Name("m");
        foreach (byte value in (byte[])[12, 1, 0, 1])
        {
            output.Byte(value);
        }

        foreach (double value in (double[])[-10, 10, 1e7, 1, 1])
        {
            output.Real(value);
        }

        output.Unsigned(1);
        output.Unsigned(9);
        output.EndFrame();
        output.EndDocument(0);
        Assert.Equal(
            new RecordsHeader("m", new Dac(12, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e7, 1, 9, 1, 1, true),
            Read(target.ToArray()).Header);
    }

    // The frame that holds the name has no room for the rest of the header.
    [Theory]
    [InlineData(32_690)]
    [InlineData(32_730)]
    [InlineData(32_763)]
    public void A_long_name_fills_a_frame_of_its_own(int length)
    {
        RecordsHeader header = Read(Encoding.UTF8.GetBytes(Head + "end 0 0 0\n")).Header! with { MachineName = new string('m', length) };
        Assert.Equal(header, Read(Binary(header, [])).Header);
    }

    [Fact]
    public void Text_and_binary_lose_nothing() => Documents.Records.Sample(
        document =>
        {
            var (header, items) = document;
            foreach (byte[] bytes in new[] { Text(header, items), Binary(header, items) })
            {
                CollectingSink<RecordsHeader, DeflectionRecord> sink = Read(bytes);
                Assert.Equal(header, sink.Header);
                Assert.Equal(items, sink.Items);
                Assert.True(sink.HasEnded);
            }
        },
        iter: Iterations.Usually(300));

    [Fact]
    public void Every_shortened_document_ends_in_an_error_and_without_an_end()
    {
        CollectingSink<RecordsHeader, DeflectionRecord> whole = Read(Encoding.UTF8.GetBytes(Example));
        byte[] binary = Binary(whole.Header!, [.. whole.Items]);
        foreach (byte[] bytes in new[] { Encoding.UTF8.GetBytes(Example)[..^1], binary })
        {
            for (int length = 0; length < bytes.Length; length++)
            {
                var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
                Assert.Throws<CompileException>(() => Read(bytes[..length], sink));
                Assert.False(sink.HasEnded);
            }
        }
    }

    [Fact]
    public void Every_flipped_bit_of_the_binary_form_is_noticed()
    {
        CollectingSink<RecordsHeader, DeflectionRecord> whole = Read(Encoding.UTF8.GetBytes(Example));
        byte[] binary = Binary(whole.Header!, [.. whole.Items]);
        for (int bit = 0; bit < binary.Length * 8; bit++)
        {
            byte[] damaged = [.. binary];
            damaged[bit / 8] ^= (byte)(1 << (bit % 8));
            Assert.Throws<CompileException>(() => Read(damaged));
        }
    }

    [Fact]
    public void Garbage_only_ever_gives_a_diagnostic() => Gen.Select(Gen.Byte.Array[0, 60], Gen.Int[0, 2]).Sample((garbage, start) =>
    {
        byte[] begin = start switch { 0 => [], 1 => Encoding.UTF8.GetBytes(Head), _ => [0x9C, .. "PCR\r\n"u8, 1, 0] };
        Assert.Throws<CompileException>(() => Read([.. begin, .. garbage]));
    }, iter: Iterations.Usually(100));

    [Theory]
    [InlineData(
        "dot 4096 0 5\nend 1 1 5\n",
        "r:11:5: error PC0804: x is 4096, allowed is 0 to 4095\n    dot 4096 0 5\n        ^")]
    [InlineData(
        "line 1 2 3 4 5\nend 1 1 5\n",
        "r:11:15: error PC0803: expected a whole number for the number of ticks, found the end of the line\n    line 1 2 3 4 5\n                  ^")]
    [InlineData(
        "dot 1 2 5\nend 1 2 5\n",
        "r:12:7: error PC0807: the end line states 2 points, the document holds 1; make the document again, or after a deliberate edit write 1\n    end 1 2 5\n          ^")]
    [InlineData(
        "wait 5\nwait 99999999999999999999\nend 1 0 5\n",
        "r:12:6: error PC0803: expected a whole number for the number of ticks, found \"99999999999999999999\"\n    wait 99999999999999999999\n         ^")]
    public void Faults_name_place_and_remedy(string text, string expected) =>
        Assert.Equal(expected, Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes(Head + text))).Message);

    [Theory]
    [InlineData("bits 12", "bits 7", "r:3:6: error PC0804: the number of bits is 7, allowed is 8 to 24\n    bits 7\n         ^")]
    [InlineData(
        "coding straight",
        "coding gray",
        "r:5:8: error PC0803: expected a coding, found \"gray\"; write one of: straight, offset-binary, twos-complement\n    coding gray\n           ^")]
    [InlineData(
        "range -10 10 V",
        "range 10 -10 V",
        "r:10:13: error PC0804: in the header above, the lower end of the voltage range is not below the upper end; correct the header\n    axes swapped\n                ^")]
    [InlineData(
        "range -10 10 V",
        "range -10 10 mV",
        "r:4:14: error PC0803: expected \"V\", found \"mV\"\n    range -10 10 mV\n                 ^")]
    [InlineData(
        "clock 1e7 Hz",
        "clok 1e7 Hz",
        "r:7:1: error PC0803: expected \"clock\", found \"clok\"\n    clok 1e7 Hz\n    ^")]
    public void Faults_of_the_header_name_place_and_remedy(string right, string wrong, string expected) => Assert.Equal(
        expected, Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes(Head.Replace(right, wrong)))).Message);

    [Fact]
    public void Dwells_outside_the_stated_limits_are_warned_of_once()
    {
        var diagnostics = new DiagnosticSink();
        using var stream = new MemoryStream(Encoding.UTF8.GetBytes(Head + "dot 1 2 0\ndot 1 2 10\nline 1 1 9 9 2 18\nline 1 1 9 9 2 19\nend 4 6 47\n"));
        RecordsReader.Read(stream, "r", new CollectingSink<RecordsHeader, DeflectionRecord>(), diagnostics, default);
        Assert.Equal(
            "r: warning PC0810: 3 records dwell outside 1 to 9 ticks a point; make the records again for this machine",
            Assert.Single(diagnostics.Collected).ToString());
    }

    private static byte[] Text(RecordsHeader header, DeflectionRecord[] items) =>
        Documents.Written<RecordsHeader, DeflectionRecord>(s => new RecordsTextWriter(s), header, items);

    private static byte[] Binary(RecordsHeader header, DeflectionRecord[] items) =>
        Documents.Written<RecordsHeader, DeflectionRecord>(s => new RecordsBinaryWriter(s), header, items);

    private static CollectingSink<RecordsHeader, DeflectionRecord> Read(byte[] bytes) =>
        Read(bytes, new CollectingSink<RecordsHeader, DeflectionRecord>());

    private static CollectingSink<RecordsHeader, DeflectionRecord> Read(
        byte[] bytes, CollectingSink<RecordsHeader, DeflectionRecord> sink)
    {
        using var stream = new PiecewiseStream(bytes, 7);
        RecordsReader.Read(stream, "r", sink, new DiagnosticSink(), default);
        return sink;
    }
}
