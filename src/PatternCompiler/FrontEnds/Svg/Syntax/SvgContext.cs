using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Svg.Syntax;

/// <summary>What every step of reading an SVG drawing needs: the file's name, the counts of what is left out, the notes.</summary>
internal sealed class SvgContext(string file, DiagnosticSink sink)
{
    private readonly Dictionary<(string Message, string Layer), (int Order, long Count, SourcePlace First)> ignored = [];
    private (long Count, SourcePlace First) hairlines;
    private readonly Dictionary<(string Message, string Layer), (int Order, long Count, SourcePlace First)> lost = [];
    private readonly Dictionary<string, (int Order, long Count, SourcePlace First)> choices = new(StringComparer.Ordinal);

    /// <summary>Name for messages.</summary>
    public string File => file;

    /// <summary>An error at an element.</summary>
    public CompileException Fault(DiagnosticCode code, string message, SvgElement element, string? fix = null) =>
        new(code, message, element.PlaceIn(file), fix);

    /// <summary>Counts an element that draws nothing.</summary>
    public void Ignore(SvgElement element, string what, string layer)
    {
        var key = (what, layer);
        ignored[key] = ignored.TryGetValue(key, out var entry) ? entry with { Count = entry.Count + 1 } : (ignored.Count, 1, element.PlaceIn(file));
    }

    /// <summary>Counts an element that a viewer shows, and that is lost here.</summary>
    public void Lose(SvgElement element, string what, string layer)
    {
        var key = (what, layer);
        lost[key] = lost.TryGetValue(key, out var entry) ? entry with { Count = entry.Count + 1 } : (lost.Count, 1, element.PlaceIn(file));
    }

    /// <summary>Counts a shape that is exposed as it stands, where a viewer shows it otherwise.</summary>
    public void Choose(SvgElement element, string what) =>
        choices[what] = choices.TryGetValue(what, out var entry) ? entry with { Count = entry.Count + 1 } : (choices.Count, 1, element.PlaceIn(file));

    /// <summary>Counts a line or dot that has a width on the screen only.</summary>
    public void Hairline(SvgElement element) =>
        hairlines = hairlines.Count == 0 ? (1, element.PlaceIn(file)) : hairlines with { Count = hairlines.Count + 1 };

    /// <summary>Reports the counts in order of first appearance.</summary>
    public void Report()
    {
        foreach (((string what, string layer), (_, long count, SourcePlace first)) in ignored.OrderBy(entry => entry.Value.Order))
        {
            sink.Note(SvgCodes.Ignored, $"ignored {count} {what} on layer {layer}{(count > 1 ? ", the first here" : "")}", first, count: count);
        }

        if (hairlines.Count > 0)
        {
            sink.Note(
                SvgCodes.Hairline,
                $"read {CountText.Of(hairlines.Count, "stroke that does", "strokes that do")} not scale (vector-effect) as lines and dots without width{(hairlines.Count > 1 ? ", the first here" : "")}",
                hairlines.First);
        }

        foreach ((string what, (_, long count, SourcePlace first)) in choices.OrderBy(entry => entry.Value.Order))
        {
            sink.Note(SvgCodes.Choice, $"{CountText.Of(count, "shape", "shapes")} {what}{(count > 1 ? ", the first here" : "")}", first, count: count);
        }

        foreach (((string what, string layer), (_, long count, SourcePlace first)) in lost.OrderBy(entry => entry.Value.Order))
        {
            sink.Warn(SvgCodes.Lost, $"lost {count} {what} on layer {layer}{(count > 1 ? ", the first here" : "")}", first, "turn it into paths in the drawing program", count);
        }
    }

    /// <summary>Reports that shapes reach beyond the page.</summary>
    public void ReportBeyondPage() => sink.Note(SvgCodes.Choice, "the drawing reaches beyond its page; viewers cut it there, but all of it is exposed", new SourcePlace(file));

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
