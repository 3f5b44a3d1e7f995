using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Dxf;
using PatternCompiler.FrontEnds.Gdsii;
using PatternCompiler.FrontEnds.Image;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.FrontEnds.Oasis;
using PatternCompiler.FrontEnds.Svg;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds;

/// <summary>Reads a drawing of any accepted kind. The kind is recognised by the first bytes, not by the name.</summary>
internal static class DrawingReader
{
    /// <summary>True if a file that starts with these bytes (1024, or all of it) is a drawing of an accepted kind.</summary>
    public static bool Recognises(ReadOnlySpan<byte> firstBytes) => DrawingRecognition.KindOf(firstBytes) != DrawingKind.Other;

    /// <summary>Reads a drawing.</summary>
    /// <param name="input">The file's bytes; read once, front to back. Stays open.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="options">How to read it.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the reading.</param>
    /// <exception cref="CompileException">The input is no drawing, or is faulty.</exception>
    public static LayoutDocument Read(
        Stream input,
        string name,
        DrawingOptions options,
        DiagnosticSink sink,
        CancellationToken cancellation = default)
    {
        byte[] buffer = new byte[DrawingRecognition.HeadLength];
        int count = input.ReadAtLeast(buffer, buffer.Length, throwOnEndOfStream: false);
        ReadOnlyMemory<byte> head = buffer.AsMemory(0, count);
        if (count == 0)
        {
            throw new CompileException(DrawingCodes.Empty, "the drawing is empty", new SourcePlace(name), $"expected {DrawingRecognition.Accepted}");
        }

        using var stream = new PeekedStream(head, input);
        return DrawingRecognition.KindOf(head.Span) switch
        {
            DrawingKind.TextLayout => LayoutReader.Read(stream, name, options, sink, cancellation),
            DrawingKind.Dxf => DxfReader.Read(stream, name, options, sink, cancellation),
            DrawingKind.Gdsii => GdsiiReader.Read(stream, name, options, sink, cancellation),
            DrawingKind.Oasis => OasisReader.Read(stream, name, options, sink, cancellation),
            DrawingKind.Svg => SvgReader.Read(stream, name, options, sink, cancellation),
            DrawingKind.Png => ImageReader.Read(stream, name, options, sink, cancellation),
            _ => throw new CompileException(
                DrawingCodes.Unknown,
                $"this is {DrawingRecognition.Describe(head.Span)}, not a drawing",
                new SourcePlace(name),
                $"accepted are {DrawingRecognition.Accepted}"),
        };
    }
}
