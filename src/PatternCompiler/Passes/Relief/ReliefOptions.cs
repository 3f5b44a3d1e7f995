using System.Collections.Immutable;
using PatternCompiler.Instrument;

namespace PatternCompiler.Passes.Relief;

/// <summary>What the relief pass reads.</summary>
/// <param name="Response">What development makes of a dose.</param>
/// <param name="ByLayer">The layers whose numbers are heights or depths, with the base dose that their dose factors multiply, in C/m².</param>
internal sealed record ReliefOptions(ResistResponse Response, ImmutableDictionary<string, (LayerRelief Relief, double AreaDose)> ByLayer);

/// <summary>What the numbers of a layer's shapes are, where they are no dose factors.</summary>
/// <param name="Values">What they are.</param>
/// <param name="Height">One height for the whole layer, whose shapes have no numbers of their own; null to take theirs.</param>
public sealed record LayerRelief(ReliefValues Values, double? Height = null);

/// <summary>What a number that is drawn with a shape says of the resist in it.</summary>
public enum ReliefValues
{
    /// <summary>Part of the film that remains.</summary>
    Heights,

    /// <summary>Part of the film that goes.</summary>
    Depths,
}
