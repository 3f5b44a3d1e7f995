using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Model.Records;

/// <summary>Reads records in either form, told apart by their first bytes, and passes them on as they come.</summary>
internal static class RecordsReader
{
    /// <summary>True if a document that starts with these bytes (8 or more, or all of it) is records.</summary>
    public static bool Recognises(ReadOnlySpan<byte> firstBytes) =>
        DocumentKinds.IsBinary(firstBytes, CarrierMagic.Records) || DocumentKinds.IsText(firstBytes, RecordsText.Name);

    /// <summary>Reads the whole document into a sink. The sink gets no end if the document is damaged.</summary>
    /// <param name="source">Where it comes from; read to its end, not closed.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="sink">Takes the records.</param>
    /// <param name="diagnostics">Takes warnings.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <exception cref="CompileException">The document is not records, or is damaged.</exception>
    public static void Read(
        Stream source,
        string name,
        IDocumentSink<RecordsHeader, DeflectionRecord> sink,
        DiagnosticSink diagnostics,
        CancellationToken cancellation)
    {
        var input = new CarrierInput(source);
        ReadOnlySpan<byte> first = input.Peek();
        if (DocumentKinds.IsBinary(first, CarrierMagic.Records))
        {
            RecordsBinaryReader.Read(input, name, sink, diagnostics, cancellation);
        }
        else if (DocumentKinds.IsText(first, RecordsText.Name))
        {
            RecordsTextReader.Read(input, name, sink, diagnostics, cancellation);
        }
        else
        {
            throw DocumentKinds.NotRecognised(first, name, "records", "patternc scale");
        }
    }
}
