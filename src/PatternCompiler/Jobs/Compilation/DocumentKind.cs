using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>What a document is, in the order of the pipeline.</summary>
internal enum DocumentKind
{
    /// <summary>A drawing, or a layout.</summary>
    Drawing,

    /// <summary>Figures.</summary>
    Figures,

    /// <summary>Strokes.</summary>
    Strokes,

    /// <summary>Records.</summary>
    Records,

    /// <summary>A framed stream.</summary>
    Stream,

    /// <summary>The list of a pattern's write fields, each with a document of its own.</summary>
    Manifest,
}

/// <summary>Tells documents apart.</summary>
internal static class DocumentKindOf
{
    /// <summary>Bytes at the start of a document that tell its kind.</summary>
    public const int HeadBytes = 64;

    /// <summary>The kind of a document that starts with these bytes. What nothing else claims is a drawing, whose reader says what is wrong with it.</summary>
    public static DocumentKind Head(ReadOnlySpan<byte> first) =>
        ExposureStreamReader.Recognises(first) ? DocumentKind.Stream
        : RecordsReader.Recognises(first) ? DocumentKind.Records
        : StrokesReader.Recognises(first) ? DocumentKind.Strokes
        : FiguresReader.Recognises(first) ? DocumentKind.Figures
        : FieldManifestFile.Recognises(first) ? DocumentKind.Manifest
        : DocumentKind.Drawing;
}
