using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>Writes a layout as a drawing for other programs.</summary>
internal static class DrawingWriter
{
    /// <summary>Writes a layout; what the format cannot hold is reported. The stream stays open.</summary>
    /// <param name="layout">The layout.</param>
    /// <param name="format">The format.</param>
    /// <param name="output">Receives the file.</param>
    /// <param name="options">How to write.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the work.</param>
    /// <exception cref="CompileException">The format cannot hold the drawing.</exception>
    public static void Write(
        LayoutDocument layout,
        DrawingFormat format,
        Stream output,
        DrawingWriteOptions options,
        DiagnosticSink sink,
        CancellationToken cancellation = default)
    {
        switch (format)
        {
            case DrawingFormat.Dxf:
                DxfWriter.Write(layout, output, options, sink, cancellation);
                break;
            case DrawingFormat.Gdsii:
                GdsiiWriter.Write(layout, output, options, sink, cancellation);
                break;
            default:
                SvgDrawingWriter.Write(layout, output, options, sink, cancellation);
                break;
        }
    }
}
