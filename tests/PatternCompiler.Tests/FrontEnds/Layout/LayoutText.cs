using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Tests.FrontEnds.Layout;

/// <summary>Reads and prints layouts held as strings.</summary>
internal static class LayoutText
{
    public static LayoutDocument Read(string text, DrawingOptions? options = null, DiagnosticSink? sink = null) =>
        ReadBytes(Encoding.UTF8.GetBytes(text), options, sink);

    public static LayoutDocument ReadBytes(byte[] text, DrawingOptions? options = null, DiagnosticSink? sink = null) =>
        LayoutReader.Read(new MemoryStream(text), "chip.layout", options ?? DrawingOptions.Default, sink ?? new DiagnosticSink());

    public static string Print(LayoutDocument document)
    {
        var stream = new MemoryStream();
        LayoutWriter.Write(document, stream);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    /// <summary>The whole text of the error that reading ends with.</summary>
    public static string Error(string text, DrawingOptions? options = null) =>
        Assert.Throws<CompileException>(() => Read(text, options)).Diagnostic.ToString();
}
