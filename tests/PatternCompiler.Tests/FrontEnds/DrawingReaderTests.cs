using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;

namespace PatternCompiler.Tests.FrontEnds;

public sealed class DrawingReaderTests
{
    private static string Error(params byte[] content) => Assert.Throws<CompileException>(
        () => DrawingReader.Read(new MemoryStream(content), "chip.dxf", DrawingOptions.Default, new DiagnosticSink())).Diagnostic.ToString();

    [Fact]
    public void A_text_layout_is_recognised_whatever_its_name()
    {
        byte[] text = "\uFEFFlayout 1\r\nlayer a\r\ndot on a at (0, 0)"u8.ToArray();
        Assert.Single(DrawingReader.Read(new MemoryStream(text), "chip.dxf", DrawingOptions.Default, new DiagnosticSink()).Layers);
    }

    [Fact]
    public void A_dxf_drawing_is_recognised_whatever_its_name()
    {
        byte[] text = "  0\nSECTION\n  2\nENTITIES\n  0\nCIRCLE\n  8\npads\n 10\n0\n 20\n0\n 40\n1\n  0\nENDSEC\n  0\nEOF\n"u8.ToArray();
        Assert.Equal(["pads"], DrawingReader.Read(new MemoryStream(text), "chip.layout", DrawingOptions.Default, new DiagnosticSink()).Layers.ToArray());
    }

    [Fact]
    public void An_empty_file_is_an_error() => Assert.Equal(
        $"chip.dxf: error PC0701: the drawing is empty; expected {DrawingRecognition.Accepted}", Error());

    [Theory]
    [InlineData("a damaged PNG picture", new byte[] { 0x89, (byte)'P', (byte)'N', (byte)'G', 10, 26, 10 })]
    [InlineData("a JPEG picture", new byte[] { 0xFF, 0xD8, 0xFF, 0xE0 })]
    [InlineData("a BMP picture", new byte[] { (byte)'B', (byte)'M', 0xFF, 0x80, 0, 0 })]
    [InlineData("a TIFF picture", new byte[] { (byte)'I', (byte)'I', (byte)'*', 0 })]
    [InlineData("a gzip file", new byte[] { 0x1F, 0x8B, 8, 0 })]
    [InlineData("UTF-16 text (save it as UTF-8)", new byte[] { 0xFF, 0xFE, (byte)'0', 0, 10, 0 })]
    [InlineData("binary data of an unknown kind", new byte[] { 1, 2, 3, 0, 200, 201 })]
    [InlineData("binary data of an unknown kind", new byte[] { 0xC3, 0x28, 65, 66 })]
    public void Anything_else_is_named(string what, byte[] content) => Assert.Equal(
        $"chip.dxf: error PC0702: this is {what}, not a drawing; accepted are {DrawingRecognition.Accepted}", Error(content));

    [Theory]
    [InlineData("text of an unknown kind", "Dear user, here is your drawing\n")]
    [InlineData("text of an unknown kind", "layouts 1\n")]
    [InlineData("a PDF document", "%PDF-1.7\n")]
    [InlineData("a ZIP archive", "PK\u0003\u0004")]
    [InlineData("a GIF picture", "GIF89a")]
    [InlineData("an HTML document", "<!DOCTYPE html><html></html>")]
    public void So_is_any_other_text(string what, string content) => Assert.Equal(
        $"chip.dxf: error PC0702: this is {what}, not a drawing; accepted are {DrawingRecognition.Accepted}", Error(Encoding.UTF8.GetBytes(content)));

    [Fact]
    public void A_character_cut_by_the_end_of_the_head_is_still_text()
    {
        string text = new string('a', DrawingRecognition.HeadLength - 1) + "\u00E9";
        Assert.Contains("text of an unknown kind", Error(Encoding.UTF8.GetBytes(text)), StringComparison.Ordinal);
    }
}
