using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>What every step of reading an SVG drawing needs: the file's name, the counts of what is left out, the notes.</summary>
internal sealed class SvgContext(string file, DiagnosticSink sink)
{
    private readonly Dictionary<(string Message, string Layer, bool IsLoss), (int Order, long Count, SourcePlace First)> ignored = [];
    private (long Count, SourcePlace First) hairlines;
    private readonly Dictionary<string, (int Order, long Count, SourcePlace First)> notApplied = new(StringComparer.Ordinal);

    /// <summary>Name for messages.</summary>
    public string File => file;

    /// <summary>An error at an element.</summary>
    public CompileException Fault(DiagnosticCode code, string message, SvgElement element, string? fix = null) =>
        new(code, message, element.PlaceIn(file), fix);

    /// <summary>Counts an element that draws nothing.</summary>
    public void Ignore(SvgElement element, string what, string layer) => Count(element, what, layer, isLoss: false);

    /// <summary>Counts an element that a viewer shows, but that is not exposed.</summary>
    public void Lose(SvgElement element, string what, string layer) => Count(element, what, layer, isLoss: true);

    private void Count(SvgElement element, string what, string layer, bool isLoss)
    {
        var key = (what, layer, isLoss);
        ignored[key] = ignored.TryGetValue(key, out var entry) ? entry with { Count = entry.Count + 1 } : (ignored.Count, 1, element.PlaceIn(file));
    }

    /// <summary>Counts a property that changes the look, but is not applied.</summary>
    public void LeaveOut(SvgElement element, string property) =>
        notApplied[property] = notApplied.TryGetValue(property, out var entry) ? entry with { Count = entry.Count + 1 } : (notApplied.Count, 1, element.PlaceIn(file));

    /// <summary>Counts a line or dot that has a width on the screen only.</summary>
    public void Hairline(SvgElement element) =>
        hairlines = hairlines.Count == 0 ? (1, element.PlaceIn(file)) : hairlines with { Count = hairlines.Count + 1 };

    /// <summary>Reports the counts in order of first appearance.</summary>
    public void Report()
    {
        foreach (((string what, string layer, bool isLoss), (_, long count, SourcePlace first)) in ignored.OrderBy(entry => entry.Value.Order))
        {
            string counted = $"{count} {what} on layer {layer}";
            string times = count > 1 ? ", the first here" : "";
            if (isLoss)
            {
                sink.Warn(SvgCodes.Lost, $"not exposed: {counted}{times}", first, "turn text into paths, trace pictures, delete or hide what is not meant", count);
            }
            else
            {
                sink.Note(SvgCodes.Ignored, $"ignored {counted}{times}", first, count: count);
            }
        }

        if (hairlines.Count > 0)
        {
            sink.Note(
                SvgCodes.Hairline,
                $"read {hairlines.Count} {(hairlines.Count == 1 ? "stroke that does" : "strokes that do")} not scale (vector-effect) as lines and dots without width{(hairlines.Count > 1 ? ", the first here" : "")}",
                hairlines.First);
        }

        foreach ((string property, (_, long count, SourcePlace first)) in notApplied.OrderBy(entry => entry.Value.Order))
        {
            string elements = count == 1 ? "1 element" : $"{count} elements, the first here";
            sink.Warn(SvgCodes.NotApplied, $"{property} is not applied: {elements}", first, "cut or convert the shapes in the drawing program");
        }
    }

    /// <summary>Reports how large the drawing is.</summary>
    public void ReportSize(string size, bool isAssumed)
    {
        if (isAssumed)
        {
            sink.Warn(SvgCodes.Size, $"the file states no physical size; 96 units are taken as one inch, which makes the drawing {size}", new SourcePlace(file), "state the drawing unit if that is not the size you drew");
        }
        else
        {
            sink.Note(SvgCodes.Size, $"the drawing is {size}", new SourcePlace(file));
        }
    }
}
