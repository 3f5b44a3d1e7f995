using System.Text;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.Model.Strokes;

public sealed class StrokesCarrierTests
{
    private const string Example = """
        strokes 1
        layer "fingers"
        via 0 -900.5 7
        jump 0 -1500.000001 20
        line 0 -1500.000001 20 1500 20.5 301 12000.125
        dot 1 0 0 0.001
        end 4

        """;

    [Fact]
    public void Text_reads_as_specified_and_prints_the_same_bytes()
    {
        CollectingSink<StrokesHeader, Stroke> sink = Read(Encoding.UTF8.GetBytes(Example));
        Assert.Equal(["fingers"], sink.Header!.Layers.ToArray());
        Assert.Equal(
            [
                Stroke.Via(0, -900_500_000, 7_000_000),
                Stroke.Jump(0, -1_500_000_001, 20_000_000),
                Stroke.Line(0, -1_500_000_001, 20_000_000, 1_500_000_000, 20_500_000, 301, 12_000_125),
                Stroke.Dot(1, 0, 0, 1),
            ],
            sink.Items);
        Assert.True(sink.HasEnded);
        Assert.Equal(Example, Encoding.UTF8.GetString(Text(sink.Header, [.. sink.Items])));
    }

    [Fact]
    public void The_word_of_older_documents_is_read_and_the_new_one_written()
    {
        CollectingSink<StrokesHeader, Stroke> sink = Read(Encoding.UTF8.GetBytes(Example.Replace("via 0", "pass 0", StringComparison.Ordinal)));
        Assert.Equal(Example, Encoding.UTF8.GetString(Text(sink.Header!, [.. sink.Items])));
    }

    [Fact]
    public void Text_and_binary_lose_nothing() => Documents.Strokes.Sample(
        document =>
        {
            var (header, items) = document;
            foreach (byte[] bytes in new[] { Text(header, items), Binary(header, items) })
            {
                CollectingSink<StrokesHeader, Stroke> sink = Read(bytes);
                Assert.Equal(header.Layers.ToArray(), sink.Header!.Layers.ToArray());
                Assert.Equal(items, sink.Items);
                Assert.True(sink.HasEnded);
            }
        },
        iter: Iterations.Usually(300));

    [Fact]
    public void Every_shortened_document_ends_in_an_error_and_without_an_end()
    {
        CollectingSink<StrokesHeader, Stroke> whole = Read(Encoding.UTF8.GetBytes(Example));
        byte[] binary = Binary(whole.Header!, [.. whole.Items]);
        foreach (byte[] bytes in new[] { Encoding.UTF8.GetBytes(Example)[..^1], binary })
        {
            for (int length = 0; length < bytes.Length; length++)
            {
                var sink = new CollectingSink<StrokesHeader, Stroke>();
                Assert.Throws<CompileException>(() => Read(bytes[..length], sink));
                Assert.False(sink.HasEnded);
            }
        }
    }

    [Fact]
    public void Every_flipped_bit_of_the_binary_form_is_noticed()
    {
        CollectingSink<StrokesHeader, Stroke> whole = Read(Encoding.UTF8.GetBytes(Example));
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
        byte[] begin = start switch { 0 => [], 1 => "strokes 1\n"u8.ToArray(), _ => [0x9C, .. "PCS\r\n"u8, 1, 0] };
        Assert.Throws<CompileException>(() => Read([.. begin, .. garbage]));
    }, iter: Iterations.Usually(100));

    [Theory]
    [InlineData(
        "strokes 1\njump 0 1 2 3\nend 1\n",
        "s:2:12: error PC0803: expected the end of the line, found \"3\"\n    jump 0 1 2 3\n               ^")]
    [InlineData(
        "strokes 1\nline 0 1 2 3 4 0 5\nend 1\n",
        "s:2:16: error PC0804: the number of points is 0, allowed is 1 to 2147483647\n    line 0 1 2 3 4 0 5\n                   ^")]
    [InlineData(
        "strokes 1\ndot 0 1 2 -3\nend 1\n",
        "s:2:11: error PC0804: the charge is -3, allowed is 0 to 9223372036854775.807\n    dot 0 1 2 -3\n              ^")]
    [InlineData(
        "strokes 1\nhop 0 1 2\nend 1\n",
        "s:2:1: error PC0803: expected jump, line, dot, via, await or end, found \"hop\"\n    hop 0 1 2\n    ^")]
    [InlineData(
        "strokes 1\ndot 0 1 2\nend 1\n",
        "s:2:10: error PC0803: expected a number with at most 3 decimals for the charge, found the end of the line\n    dot 0 1 2\n             ^")]
    [InlineData("figures 1\n", "s: error PC0801: expected strokes, found text that starts with \"figures \"; make strokes with patternc fill")]
    public void Faults_name_place_and_remedy(string text, string expected) =>
        Assert.Equal(expected, Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes(text))).Message);

    private static byte[] Text(StrokesHeader header, Stroke[] items) =>
        Documents.Written<StrokesHeader, Stroke>(s => new StrokesTextWriter(s), header, items);

    private static byte[] Binary(StrokesHeader header, Stroke[] items) =>
        Documents.Written<StrokesHeader, Stroke>(s => new StrokesBinaryWriter(s), header, items);

    private static CollectingSink<StrokesHeader, Stroke> Read(byte[] bytes) =>
        Read(bytes, new CollectingSink<StrokesHeader, Stroke>());

    private static CollectingSink<StrokesHeader, Stroke> Read(byte[] bytes, CollectingSink<StrokesHeader, Stroke> sink)
    {
        using var stream = new PiecewiseStream(bytes, 7);
        StrokesReader.Read(stream, "s", sink, new DiagnosticSink(), default);
        return sink;
    }
}
