using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Tests.Model.Carriers;

public class Utf8TextTests
{
    private static readonly byte[] Bad = [.. "figures 1\ngrid 100 pm\nlayer \""u8, 0xC3, 0x28, .. "\"\n"u8];

    [Fact]
    public void A_document_names_the_byte() => Assert.Equal(
        "x.figures:3:8: error PC0855: byte 30 is C3 hex, which is no UTF-8 text at this place; save the file as UTF-8, or check that it is the right file\n    layer \"\uFFFD(\"\n           ^",
        Assert.Throws<CompileException>(() => FiguresReader.Read(new MemoryStream(Bad), "x.figures", new DiagnosticSink(), CancellationToken.None)).Message);

    [Fact]
    public void A_layout_names_the_byte_even_in_a_comment() => Assert.Equal(
        "x.layout:2:3: error PC0855: byte 12 is FF hex, which is no UTF-8 text at this place; save the file as UTF-8, or check that it is the right file\n    # \uFFFD\n      ^",
        Assert.Throws<CompileException>(() => LayoutReader.Read(
            new MemoryStream([.. "layout 1\n# "u8, 0xFF, (byte)'\n']), "x.layout", new DrawingOptions(), new DiagnosticSink())).Message);

    [Theory]
    [InlineData("utf-8")]
    [InlineData("utf-16")]
    [InlineData("utf-16BE")]
    public void A_byte_order_mark_is_taken_off(string encoding)
    {
        Encoding written = Encoding.GetEncoding(encoding);
        Assert.Equal("né", Utf8Text.Read(new MemoryStream([.. written.GetPreamble(), .. written.GetBytes("né")]), "a", 100));
    }

    [Fact]
    public void A_text_longer_than_allowed_is_not_read() => Assert.Null(Utf8Text.Read(new MemoryStream(new byte[101]), "a", 100));

    [Fact]
    public void No_byte_anywhere_in_a_document_does_more_than_make_an_error()
    {
        byte[] good = "figures 1\ngrid 100 pm\nlayer \"näme\"\nend 0 0 0\n"u8.ToArray();
        for (int i = 0; i < good.Length; i++)
        {
            byte[] bad = [.. good];
            bad[i] = 0xE2;
            Assert.IsType<CompileException>(Record.Exception(() => FiguresReader.Read(new MemoryStream(bad), "x", new DiagnosticSink(), CancellationToken.None)));
        }
    }
}
