using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Svg;
using PatternCompiler.Model.Layout;
using PatternCompiler.Tests.FrontEnds.Layout;

namespace PatternCompiler.Tests.FrontEnds.Svg;

/// <summary>Reads SVG drawings held as strings, and prints them as text layouts.</summary>
internal static class SvgText
{
    /// <summary>A page of 10 × 10 µm with one user unit to the micrometre, y up from the lower edge.</summary>
    public static string Page(string content) =>
        $"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"0.01mm\" height=\"0.01mm\" viewBox=\"0 0 10 10\">\n{content}\n</svg>";

    public static LayoutDocument Read(string text, DrawingOptions? options = null, DiagnosticSink? sink = null) =>
        SvgReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "a.svg", options ?? DrawingOptions.Default, sink ?? new());

    /// <summary>The statements of the drawing, without the head of the text layout.</summary>
    public static string Shapes(string content, DrawingOptions? options = null)
    {
        string text = LayoutText.Print(Read(content.StartsWith("<svg", StringComparison.Ordinal) ? content : Page(content), options));
        int end = text.IndexOf("\n\n", StringComparison.Ordinal);
        return end < 0 ? "" : text[(end + 2)..].TrimEnd();
    }

    /// <summary>The whole text of the error that reading ends with.</summary>
    public static string Error(string text, DrawingOptions? options = null) =>
        Assert.Throws<CompileException>(() => Read(text, options)).Diagnostic.ToString();

    /// <summary>All notes and warnings.</summary>
    public static string[] Messages(string text, DrawingOptions? options = null)
    {
        var sink = new DiagnosticSink();
        Read(text, options, sink);
        return [.. sink.Collected.Select(d => d.ToString())];
    }
}
