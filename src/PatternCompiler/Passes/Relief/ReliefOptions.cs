using System.Collections.Immutable;
using PatternCompiler.Instrument;

namespace PatternCompiler.Passes.Relief;

/// <summary>What the relief pass reads.</summary>
/// <param name="Response">What development makes of a dose.</param>
/// <param name="ByLayer">The layers whose numbers are heights or depths, with the base dose that their dose factors multiply, in C/m².</param>
internal sealed record ReliefOptions(ResistResponse Response, ImmutableDictionary<string, (LayerRelief Relief, double AreaDose)> ByLayer);
