using System.Text;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Tests.Model.Carriers;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Model.Figures;

public sealed class FiguresCarrierTests
{
    private const string Example = """
        figures 1
        grid 100 pm
        layer "pads"
        layer "a \"b\" \u000A"
        rect 0 1 -500 -400 500 400
        vrect 0 1 -500 -400 500 400
        trap 1 1.25 0 100 -10 -5 -20 130 30 0 40 100
        vtrap 1 0 0 100 -5 -10 130 -20 0 30 100 40
        line 0 0.5 0 0 100 -200
        dot 1 2000 7 8
        end 6

        """;

    [Fact]
    public void Text_reads_as_specified_and_prints_the_same_bytes()
    {
        FiguresDocument document = Read(Encoding.UTF8.GetBytes(Example));
        Assert.Equal(100, document.Header.GridPicometres);
        Assert.Equal(["pads", "a \"b\" \n"], document.Header.Layers.ToArray());
        var shape = new Trapezoid(0, 100, new(new(-10, -5), new(-20, 130)), new(new(30, 0), new(40, 100)));
        Assert.Equal(
            [
                Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(-500, -400, 500, 400)),
                Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(-400, -500, 400, 500), isTransposed: true),
                Figure.FromTrapezoid(1, new DoseFactor(1_250_000), shape),
                Figure.FromTrapezoid(1, new DoseFactor(0), shape, isTransposed: true),
                Figure.FromLine(0, new DoseFactor(500_000), new(0, 0), new(100, -200)),
                Figure.FromDot(1, new DoseFactor(2_000_000_000), new(7, 8)),
            ],
            document.Figures);
        Assert.Equal(Example, Encoding.UTF8.GetString(Documents.Written(s => new FiguresTextWriter(s), document)));
    }

    [Fact]
    public void Text_and_binary_lose_nothing() => Documents.Figures.Sample(
        document =>
        {
            FiguresDocument fromText = Read(Documents.Written(s => new FiguresTextWriter(s), document));
            FiguresDocument fromBinary = Read(Documents.Written(s => new FiguresBinaryWriter(s), document));
            return Same(document, fromText) && Same(document, fromBinary);
        },
        iter: Iterations.Usually(300));

    [Fact]
    public void Every_shortened_document_is_refused()
    {
        byte[] text = Encoding.UTF8.GetBytes(Example);
        byte[] binary = Documents.Written(s => new FiguresBinaryWriter(s), Read(text));
        for (int length = 0; length < binary.Length; length++)
        {
            Assert.Throws<CompileException>(() => Read(binary[..length]));
        }

        // Without its last line feed the text is still whole.
        for (int length = 0; length < text.Length - 1; length++)
        {
            Assert.Throws<CompileException>(() => Read(text[..length]));
        }
    }

    [Fact]
    public void Every_flipped_bit_of_the_binary_form_is_noticed()
    {
        byte[] binary = Documents.Written(s => new FiguresBinaryWriter(s), Read(Encoding.UTF8.GetBytes(Example)));
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
        byte[] begin = start switch { 0 => [], 1 => "figures 1\ngrid 1 pm\n"u8.ToArray(), _ => [0x9C, .. "PCF\r\n"u8, 1, 0] };
        Assert.Throws<CompileException>(() => Read([.. begin, .. garbage]));
    }, iter: Iterations.Usually(100));

    [Theory]
    [InlineData(
        "figures 1\ngrid 100 pm\nrect 0 1 0 0 5 5\nend 1\n",
        "f:3:6: error PC0804: layer 0 is not declared; the document has 0 of them, counted from 0; add a layer line above the first figure\n    rect 0 1 0 0 5 5\n         ^")]
    [InlineData(
        "figures 1\ngrid 100 pm\nlayer \"a\"\nrect 0 1 5 0 0 5\nend 1\n",
        "f:4:16: error PC0804: the two sides cross or stand in the wrong order; give lower left before upper right\n    rect 0 1 5 0 0 5\n                   ^")]
    [InlineData(
        "figures 1\ngrid 100 pm\nlayer \"a\"\ndot 0 1 5 five\nend 1\n",
        "f:4:11: error PC0803: expected a whole number for y, found \"five\"\n    dot 0 1 5 five\n              ^")]
    [InlineData(
        "figures 1\ngrid 100 pm\nlayer \"a\"\ndot 0 1.2345678 5 5\nend 1\n",
        "f:4:7: error PC0803: expected a number with at most 6 decimals for the dose factor, found \"1.2345678\"\n    dot 0 1.2345678 5 5\n          ^")]
    [InlineData(
        "figures 1\ngrid 100 pm\nlayer \"a\"\ndot 0 1 5 5 5\nend 1\n",
        "f:4:13: error PC0803: expected the end of the line, found \"5\"\n    dot 0 1 5 5 5\n                ^")]
    [InlineData(
        "figures 1\ngrid 100 pm\nlayer \"a\"\ndot 0 1 5 2000000000\nend 1\n",
        "f:4:11: error PC0804: y is 2000000000, allowed is -1073741823 to 1073741823\n    dot 0 1 5 2000000000\n              ^")]
    [InlineData(
        "figures 1\ngrid 100 pm\nlayer \"a\"\ndot 0 1 5 5\n",
        "f:4: error PC0805: the document stops after line 4 where a figure or the end line belongs; make it again; the stage or copy that wrote it did not finish")]
    [InlineData(
        "figures 1\ngrid 100 pm\nlayer \"a\"\ndot 0 1 5 5\nend 2\n",
        "f:5:5: error PC0807: the end line states 2 figures, the document holds 1; make the document again, or after a deliberate edit write 1\n    end 2\n        ^")]
    [InlineData(
        "figures 1\ngrid 100 pm\nend 0\nfigures 1\n",
        "f:4:1: error PC0808: something follows the end line; give one document at a time\n    figures 1\n    ^")]
    [InlineData(
        "figures 2\n",
        "f:1:9: error PC0802: this is version \"2\" of the text form, known is version 1; write the document again with this version of the program, or update the program\n    figures 2\n            ^")]
    [InlineData("strokes 1\n", "f: error PC0801: expected figures, found text that starts with \"strokes \"; make figures with patternc fracture")]
    [InlineData("", "f: error PC0801: expected figures, found nothing at all; make figures with patternc fracture")]
    [InlineData("\u0001\n", "f: error PC0801: expected figures, found bytes 01 0A; make figures with patternc fracture")]
    public void Faults_name_place_and_remedy(string text, string expected) =>
        Assert.Equal(expected, Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes(text))).Message);

    [Fact]
    public void Truncated_and_damaged_binary_name_the_byte()
    {
        byte[] binary = Documents.Written(s => new FiguresBinaryWriter(s), Read(Encoding.UTF8.GetBytes(Example)));
        Assert.Equal(
            "byte 20",
            Assert.Throws<CompileException>(() => Read(binary[..20])).Diagnostic.Place.Entity);
        binary[14] ^= 1;
        Assert.Equal(
            "f (byte 8): error PC0806: the checksum of a frame does not match its content; make the document again; it was damaged on its way",
            Assert.Throws<CompileException>(() => Read(binary)).Message);
    }

    [Fact]
    public void Comments_and_blank_lines_are_skipped_and_equal_layers_warned_of()
    {
        var diagnostics = new DiagnosticSink();
        using var stream = new MemoryStream("figures 1\r\n# by hand\r\n\r\ngrid 1 pm\nlayer \"a\"\nlayer \"a\"\nend 0"u8.ToArray());
        FiguresReader.Read(stream, "f", diagnostics, default);
        Assert.Equal(
            "f: warning PC0809: two layers are named \"a\"; give each layer its own name",
            Assert.Single(diagnostics.Collected).ToString());
    }

    [Fact]
    public void A_line_without_end_is_refused_in_bounded_memory()
    {
        byte[] text = [.. "figures 1\ngrid "u8, .. new byte[1 << 20]];
        Assert.Equal(
            "f:2: error PC0803: a line is longer than 65536 bytes; check that the file is a text document of this program",
            Assert.Throws<CompileException>(() => Read(text)).Message);
    }

    private static FiguresDocument Read(byte[] bytes)
    {
        using var stream = new PiecewiseStream(bytes, 7);
        return FiguresReader.Read(stream, "f", new DiagnosticSink(), default);
    }

    private static bool Same(FiguresDocument a, FiguresDocument b) =>
        a.Header.GridPicometres == b.Header.GridPicometres &&
        a.Header.Layers.SequenceEqual(b.Header.Layers) &&
        a.Figures.SequenceEqual(b.Figures);
}
