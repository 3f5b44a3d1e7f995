using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Instrument;

/// <summary>How a layer is placed on the one below: all of it by one placement, or each write field by its own.</summary>
/// <param name="Whole">For the whole drawing, from its origin; null where every field has its own.</param>
/// <param name="Fields">By the name of a write field, from its centre; empty where one holds for all.</param>
public sealed record LayerAlignment(LayerPlacement? Whole, ImmutableSortedDictionary<string, LayerPlacement> Fields)
{
    /// <summary>One placement for all.</summary>
    public static LayerAlignment Of(LayerPlacement whole) => new(whole, ImmutableSortedDictionary.Create<string, LayerPlacement>(StringComparer.Ordinal));

    /// <summary>What holds in a write field.</summary>
    /// <param name="field">Its name.</param>
    /// <param name="centreX">Its centre on the drawing, in nanometres.</param>
    /// <param name="centreY">Its centre on the drawing, in nanometres.</param>
    /// <exception cref="CompileException">Fields have placements of their own, and this one has none.</exception>
    internal LayerPlacement In(string field, double centreX, double centreY) => Whole is not null
        ? Whole.From(centreX, centreY)
        : Fields.GetValueOrDefault(field) ?? throw new CompileException(
            FieldCodes.NoAlignment,
            $"'alignment.fields' does not say how write field {field} lies on the layer below",
            default,
            $"measure its marks and add '{field}' to 'alignment.fields', or give one alignment for the whole pattern");

    /// <summary>Turn, scale and skew, of one field where each has its own, without an offset: what no stage has been told of yet.</summary>
    internal LayerPlacement Turn => (Whole ?? Fields.Values.First()) with { OffsetXNanometres = 0, OffsetYNanometres = 0 };

    internal IEnumerable<SettingLine> Lines =>
    [
        .. Whole is null ? (SettingLine[])[] : [new("alignment", [.. Whole.Numbers])],
        .. Fields.Select(entry => new SettingLine($"alignment {entry.Key}", [.. entry.Value.Numbers])),
    ];
}
