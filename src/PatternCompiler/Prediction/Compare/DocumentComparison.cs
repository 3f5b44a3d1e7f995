using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Compare;

/// <summary>Two documents of one kind, compared in every way that the kind allows.</summary>
/// <param name="Kind">"layout", "figures", "strokes", "records" or "provenance".</param>
/// <param name="Headers">Differences of what precedes the items.</param>
/// <param name="Items">Item by item; null for layouts, whose order means nothing.</param>
/// <param name="Layers">As areas; empty for strokes and records.</param>
/// <param name="Exposure">As exposure on the sample; null for layouts and figures.</param>
internal sealed record DocumentComparison(
    string Kind,
    ImmutableArray<ItemDifference> Headers,
    ItemComparison? Items,
    ImmutableArray<LayerComparison> Layers,
    ExposureComparison? Exposure)
{
    /// <summary>True if the documents count as the same.</summary>
    /// <param name="options">What may differ.</param>
    public bool AreEqual(CompareOptions options)
    {
        if (Layers.Length > 0 && (Items is null || options.EdgeToleranceNanometres > 0))
        {
            return Layers.All(layer => layer.IsWithin(options.EdgeToleranceNanometres));
        }

        if (Exposure is not null && options.DoseTolerance > 0)
        {
            return Headers.IsEmpty && Exposure.LargestFraction <= options.DoseTolerance;
        }

        return Headers.IsEmpty && (Items is null || (options.IgnoresOrder ? Items.AreEqualInAnyOrder : Items.AreEqual));
    }
}
