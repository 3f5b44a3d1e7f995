using PatternCompiler.Diagnostics;

namespace PatternCompiler.Units;

/// <summary>Why a text is not the quantity that was wanted.</summary>
/// <param name="Code">Catalogue entry.</param>
/// <param name="Problem">What was wanted and what was found, e.g. "needs a length, but '10 V' is a voltage".</param>
/// <param name="Fix">What to write instead.</param>
internal sealed record QuantityFault(DiagnosticCode Code, string Problem, string Fix);
