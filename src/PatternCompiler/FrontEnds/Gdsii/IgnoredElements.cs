using PatternCompiler.Diagnostics;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Gdsii;

/// <summary>Counts what of a cell is not exposed, by kind and layer, in order of first appearance.</summary>
internal sealed class IgnoredElements
{
    private readonly OrderedDictionary<(string One, string Many, string Layer, string? Reason, bool IsLoss), long> counts = [];

    /// <summary>Counts elements; a loss is what would be exposed if it could be.</summary>
    public void Add(string one, string many, string layer, string? reason, long count, bool isLoss) => Add((one, many, layer, reason, isLoss), count);

    /// <summary>Reports what the cells of a drawing do not expose. Cells that are nowhere placed are no part of it.</summary>
    public static void Report(IEnumerable<GdsiiCell> placed, DiagnosticCode lost, DiagnosticCode ignored, DiagnosticSink sink, string file)
    {
        var all = new IgnoredElements();
        foreach (var (key, count) in placed.SelectMany(cell => cell.Ignored.counts))
        {
            all.Add(key, count);
        }

        foreach (var ((one, many, layer, reason, isLoss), count) in all.counts)
        {
            string what = $"{CountText.Of(count, one, many)} on layer {layer}{(reason is null ? "" : $" ({reason})")}";
            if (isLoss)
            {
                sink.Warn(lost, $"not exposed: {what}", new(file), "correct or delete them in the drawing program", count);
            }
            else
            {
                sink.Note(ignored, $"ignored {what}", new(file), count: count);
            }
        }
    }

    private void Add((string, string, string, string?, bool) key, long count)
    {
        long before = counts.GetValueOrDefault(key);
        counts[key] = before + Math.Min(count, long.MaxValue - before);
    }
}
