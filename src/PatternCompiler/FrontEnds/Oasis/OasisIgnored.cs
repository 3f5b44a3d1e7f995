using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>Counts what is not exposed, by kind and layer, in order of first appearance.</summary>
internal sealed class OasisIgnored
{
    private readonly Dictionary<(string One, string Many, string Layer, bool IsLoss), (int Order, long Count)> counts = [];

    /// <summary>Counts objects; a loss is what would be exposed if it could be.</summary>
    public void Add(string one, string many, string layer, long count, bool isLoss)
    {
        (int order, long before) = counts.TryGetValue((one, many, layer, isLoss), out var entry) ? entry : (counts.Count, 0);
        counts[(one, many, layer, isLoss)] = (order, before + Math.Min(count, long.MaxValue - before));
    }

    /// <summary>Reports the counts.</summary>
    public void Report(DiagnosticSink sink, string file)
    {
        foreach (var ((one, many, layer, isLoss), (_, count)) in counts.OrderBy(c => c.Value.Order))
        {
            if (isLoss)
            {
                sink.Warn(OasisCodes.Lost, $"not exposed: {CountText.Of(count, one, many)} on layer {layer}", new(file), "correct or delete them in the drawing program", count);
            }
            else
            {
                sink.Note(OasisCodes.Ignored, $"ignored {CountText.Of(count, one, many)} on layer {layer}", new(file), count: count);
            }
        }
    }
}
