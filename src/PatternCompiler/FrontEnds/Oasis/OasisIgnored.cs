using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>Counts what is not exposed, by kind and layer, in order of first appearance.</summary>
internal sealed class OasisIgnored
{
    private readonly Dictionary<(string What, string Layer), (int Order, long Count)> counts = [];

    /// <summary>Counts objects.</summary>
    public void Add(string what, string layer, long count)
    {
        (int order, long before) = counts.TryGetValue((what, layer), out var entry) ? entry : (counts.Count, 0);
        counts[(what, layer)] = (order, before + Math.Min(count, long.MaxValue - before));
    }

    /// <summary>Reports the counts.</summary>
    public void Report(DiagnosticSink sink, string file)
    {
        foreach (var ((what, layer), (_, count)) in counts.OrderBy(c => c.Value.Order))
        {
            sink.Note(OasisCodes.Ignored, $"ignored {count} {what} on layer {layer}", new(file), count: count);
        }
    }
}
