using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Dxf.Entities;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>Counts what is not exposed, by type, layer and reason, so that nothing goes missing unseen.</summary>
internal sealed class IgnoredEntities
{
    private const int MostNotes = 100;

    private readonly Dictionary<(string Type, string Layer, string? Reason), (int Order, long Count, int Line)> counts = [];

    /// <summary>Counts one entity.</summary>
    /// <param name="origin">The entity.</param>
    /// <param name="reason">Why it is left out; null if the type alone says so.</param>
    public void Add(in EntityOrigin origin, string? reason)
    {
        var key = (origin.Type, origin.Layer, reason);
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
        var sorted = counts.OrderBy(c => c.Value.Order).ToList();
        foreach (var ((type, layer, reason), (_, count, line)) in sorted.Take(MostNotes))
        {
            string because = reason is null ? "" : $" ({reason})";
            string times = count == 1 ? "" : $", first one here";
            sink.Note(DxfCodes.Ignored, $"ignored {count} {type} on layer {layer}{because}{times}", new(file, line), count: count);
        }

        if (sorted.Count > MostNotes)
        {
            long rest = sorted.Skip(MostNotes).Sum(c => c.Value.Count);
            sink.Note(DxfCodes.Ignored, $"ignored {rest} further entities of {sorted.Count - MostNotes} kinds", new(file), count: rest);
        }
    }
}
