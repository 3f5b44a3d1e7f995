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

    /// <summary>Where the stage goes by: the pattern's places along the beam's axes, as the sample lies; null where it goes as if nothing were moved.</summary>
    public LayerPlacement? Sample { get; init; }

    /// <summary>At which reading of the working distance the sample is in focus; null where it is not said.</summary>
    public FocusPlane? Focus { get; init; }

    /// <summary>The placement that a write field has of its own.</summary>
    /// <param name="field">Its name.</param>
    /// <exception cref="CompileException">It has none.</exception>
    internal LayerPlacement Own(string field) => Fields.GetValueOrDefault(field) ?? throw new CompileException(
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

/// <summary>At which reading of the working distance a tilted sample is in focus, by the place of the pattern.</summary>
/// <param name="AtOriginNanometres">At the pattern's origin.</param>
/// <param name="SlopeX">What it gains per length along the pattern's x axis.</param>
/// <param name="SlopeY">What it gains per length along the pattern's y axis.</param>
public sealed record FocusPlane(double AtOriginNanometres, double SlopeX, double SlopeY)
{
    internal IEnumerable<double> Numbers => [AtOriginNanometres, SlopeX, SlopeY];

    /// <summary>The reading at a place.</summary>
    public double At(double xNanometres, double yNanometres) => AtOriginNanometres + (SlopeX * xNanometres) + (SlopeY * yNanometres);
}
