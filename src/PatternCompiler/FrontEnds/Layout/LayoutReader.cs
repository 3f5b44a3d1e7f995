using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Reads the text layout; the language is described in README.md beside this file.</summary>
internal static class LayoutReader
{
    /// <summary>
    /// Reads a text layout line by line; only the layout itself is held in memory.
    /// </summary>
    /// <param name="input">The text, UTF-8. Stays open.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="options">Parameters to override, and how to open included files.</param>
    /// <param name="sink">Takes notes, e.g. of lengths that were rounded to the grid.</param>
    /// <param name="cancellation">Stops the reading.</param>
    /// <exception cref="CompileException">The text is not a valid layout: one error with line, column and remedy.</exception>
    public static LayoutDocument Read(
        Stream input,
        string name,
        DrawingOptions options,
        DiagnosticSink sink,
        CancellationToken cancellation = default) =>
        new LayoutSession(options, sink, cancellation).Read(input, name);

    /// <summary>Reads a text layout within another file, whose lines have been read up to its first one.</summary>
    /// <exception cref="CompileException">As above.</exception>
    public static LayoutDocument ReadRest(LineSource lines, string name, DrawingOptions options, CancellationToken cancellation) =>
        new LayoutSession(options, new DiagnosticSink(), cancellation).ReadRest(lines, name);
}
