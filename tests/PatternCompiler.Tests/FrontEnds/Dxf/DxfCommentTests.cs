using System.Text;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Dxf;
using PatternCompiler.Model.Layout;
using static PatternCompiler.Tests.FrontEnds.Dxf.DxfTest;

namespace PatternCompiler.Tests.FrontEnds.Dxf;

/// <summary>Comments (group code 999) mean nothing, wherever they stand.</summary>
public sealed class DxfCommentTests
{
    private static readonly string[] Comment = ["999", "EOF"];

    public static TheoryData<string> TextDrawings =>
        [.. Directory.EnumerateFiles(Path.GetDirectoryName(CorpusPath("README.md"))!, "*.dxf").Select(file => Path.GetFileName(file)!).Where(IsText).Order(StringComparer.Ordinal)];

    [Theory]
    [MemberData(nameof(TextDrawings))]
    public void Between_all_pairs_of_a_drawing(string name)
    {
        string[] lines = LinesOf(name);
        string[] pairs = [.. Enumerable.Range(0, lines.Length / 2).SelectMany(i => (string[])[.. Comment, lines[2 * i], lines[(2 * i) + 1]]), .. Comment];
        Assert.Equal(Outcome(string.Join('\n', lines)), Outcome(string.Join('\n', pairs)));
    }

    [Theory]
    [MemberData(nameof(TextDrawings))]
    public void Before_any_one_pair_of_a_drawing(string name)
    {
        string[] lines = LinesOf(name);
        string want = Outcome(string.Join('\n', lines));
        Gen.Int[0, lines.Length / 2].Sample(pair => Assert.Equal(want, Outcome(With(lines, pair))), iter: Iterations.Usually(25));
    }

    // Every place of a drawing that has every part: header, tables, blocks, hatches, splines, attributes, extended data.
    [Fact]
    public void Before_every_pair_of_a_small_drawing()
    {
        string[] lines =
            ("0 SECTION 2 HEADER 9 $ACADVER 1 AC1015 9 $INSUNITS 70 13 0 ENDSEC "
            + "0 SECTION 2 TABLES 0 TABLE 2 LAYER 0 LAYER 2 off 70 0 62 -7 0 ENDTAB 0 ENDSEC "
            + "0 SECTION 2 BLOCKS 0 BLOCK 8 0 2 PAD 70 0 10 1 20 0 0 CIRCLE 8 0 10 0 20 0 40 2 0 ENDBLK 8 0 0 ENDSEC "
            + "0 SECTION 2 ENTITIES 0 INSERT 8 a 66 1 2 PAD 10 5 20 5 0 ATTRIB 8 a 1 text 0 SEQEND "
            + "0 POLYLINE 8 a 66 1 70 1 0 VERTEX 10 0 20 0 0 VERTEX 10 9 20 0 42 0.5 0 VERTEX 10 9 20 7 0 SEQEND "
            + "0 LWPOLYLINE 8 a 90 2 43 1 10 0 20 20 42 1 10 8 20 20 1001 PATTERNC 1000 line "
            + "0 HATCH 8 a 10 0 20 0 2 SOLID 70 1 71 0 91 1 92 1 93 2 72 1 10 30 20 0 11 40 21 0 72 2 10 35 20 0 40 5 50 0 51 180 73 1 97 0 75 0 76 1 98 0 "
            + "0 SPLINE 8 a 71 2 72 6 73 3 40 0 40 0 40 0 40 1 40 1 40 1 10 0 20 40 10 5 20 50 10 10 20 40 "
            + "0 LINE 8 off 10 0 20 0 11 1 21 1 0 ENDSEC 0 EOF").Split(' ');
        string want = Outcome(string.Join('\n', lines));
        Assert.Contains("circle", want, StringComparison.Ordinal);
        for (int pair = 0; pair <= lines.Length / 2; pair++)
        {
            Assert.Equal(want, Outcome(With(lines, pair)));
        }
    }

    // Two-byte codes, and one-byte codes with their escape.
    [Theory]
    [InlineData("ezdxf-curves-binary.dxf", new byte[] { 0xe7, 0x03 })]
    [InlineData("ezdxf-sensor-R12-binary.dxf", new byte[] { 0xff, 0xe7, 0x03 })]
    public void At_the_start_of_a_binary_drawing(string name, byte[] code)
    {
        byte[] bytes = File.ReadAllBytes(CorpusPath(name));
        Assert.Equal(Outcome(bytes), Outcome([.. bytes[..22], .. code, (byte)'a', 0, .. bytes[22..]]));
    }

    private static bool IsText(string name) => !name.Contains("binary", StringComparison.Ordinal);

    private static string[] LinesOf(string name) => File.ReadAllText(CorpusPath(name)).ReplaceLineEndings("\n").TrimEnd('\n').Split('\n');

    private static string With(string[] lines, int pair) => string.Join('\n', [.. lines[..(2 * pair)], .. Comment, .. lines[(2 * pair)..]]);

    private static string Outcome(string text) => Outcome(Encoding.UTF8.GetBytes(text));

    // The layout, and what was said of it; lines move.
    private static string Outcome(byte[] bytes)
    {
        var sink = new DiagnosticSink();
        LayoutDocument layout = DxfReader.Read(new MemoryStream(bytes), "a.dxf", new DrawingOptions { UnitNanometres = 1000 }, sink, default);
        using var written = new MemoryStream();
        LayoutWriter.Write(layout, written);
        return Encoding.UTF8.GetString(written.ToArray()) + string.Join('\n', sink.Collected.Select(d => d.Message));
    }
}
