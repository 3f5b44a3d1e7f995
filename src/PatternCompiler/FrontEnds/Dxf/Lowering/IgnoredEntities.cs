using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Dxf.Entities;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>
/// Counts what is not exposed, by type, layer and reason, so that nothing goes missing unseen: what is hidden or has nothing
/// to expose, and what would be exposed if it could be.
/// </summary>
internal sealed class IgnoredEntities
{
    private const int MostNotes = 100;

    private readonly Dictionary<(string Type, string Layer, string? Reason, bool IsLoss), (int Order, long Count, int Line)> counts = [];

    /// <summary>Counts an entity that is hidden or has nothing to expose.</summary>
    /// <param name="origin">The entity.</param>
    /// <param name="reason">Why it is left out; null if the type alone says so.</param>
    public void Add(in EntityOrigin origin, string? reason) => Count(origin, reason, isLoss: false);

    /// <summary>Counts an entity that would be exposed if it could be.</summary>
    /// <param name="origin">The entity.</param>
    /// <param name="reason">Why it is lost.</param>
    public void Lose(in EntityOrigin origin, string reason) => Count(origin, reason, isLoss: true);

    private void Count(in EntityOrigin origin, string? reason, bool isLoss)
    {
        var key = (origin.Type, origin.Layer, reason, isLoss);
        counts[key] = counts.TryGetValue(key, out var entry)
            ? (entry.Order, entry.Count + 1, entry.Line)
            : (counts.Count, 1, origin.Line);
    }

    /// <summary>Adds the counts of a part of the drawing.</summary>
    public void Add(IgnoredEntities part)
    {
        foreach (var (key, (_, count, line)) in part.counts.OrderBy(c => c.Value.Order))
        {
            counts[key] = counts.TryGetValue(key, out var entry) ? (entry.Order, entry.Count + count, entry.Line) : (counts.Count, count, line);
        }
    }

    /// <summary>Reports the counts in order of first appearance.</summary>
    public void Report(DiagnosticSink sink, string file)
    {
        Report(isLoss: false, (text, place, count) => sink.Note(DxfCodes.Ignored, $"ignored {text}", place, count: count), file);
        Report(
            isLoss: true,
            (text, place, count) => sink.Warn(DxfCodes.Lost, $"not exposed: {text}", place, "fix it in the drawing, or choose layers without it", count),
            file);
    }

    private void Report(bool isLoss, Action<string, SourcePlace, long> report, string file)
    {
        var sorted = counts.Where(c => c.Key.IsLoss == isLoss).OrderBy(c => c.Value.Order).ToList();
        foreach (var ((type, layer, reason, _), (_, count, line)) in sorted.Take(MostNotes))
        {
            string because = reason is null ? "" : $" ({reason})";
            string times = count == 1 ? "" : ", first one here";
            report($"{count} {type} on layer {layer}{because}{times}", new(file, line), count);
        }

        if (sorted.Count > MostNotes)
        {
            long rest = sorted.Skip(MostNotes).Sum(c => c.Value.Count);
            report($"{rest} further entities of {sorted.Count - MostNotes} kinds", new(file), rest);
        }
    }
}
