using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Model.Figures;

/// <summary>Reads figures in either form, told apart by their first bytes.</summary>
internal static class FiguresReader
{
    /// <summary>True if a document that starts with these bytes (8 or more, or all of it) is figures.</summary>
    public static bool Recognises(ReadOnlySpan<byte> firstBytes) =>
        DocumentKinds.IsBinary(firstBytes, CarrierMagic.Figures) || DocumentKinds.IsText(firstBytes, FiguresText.Name);

    /// <summary>Reads the whole document.</summary>
    /// <param name="source">Where it comes from; read to its end, not closed.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="diagnostics">Takes warnings.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <exception cref="CompileException">The document is not figures, or is damaged.</exception>
    public static FiguresDocument Read(Stream source, string name, DiagnosticSink diagnostics, CancellationToken cancellation)
    {
        var input = new CarrierInput(source);
        ReadOnlySpan<byte> first = input.Peek();
        FiguresDocument document = DocumentKinds.IsBinary(first, CarrierMagic.Figures)
            ? FiguresBinaryReader.Read(input, name, cancellation)
            : DocumentKinds.IsText(first, FiguresText.Name)
                ? FiguresTextReader.Read(input, name, cancellation)
                : throw DocumentKinds.NotRecognised(first, name, "figures", "patternc fracture");
        DocumentKinds.WarnOfEqualLayers(document.Header.Layers, name, diagnostics);
        return document;
    }
}
