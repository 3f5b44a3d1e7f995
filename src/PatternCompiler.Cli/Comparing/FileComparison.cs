using PatternCompiler.Diagnostics;
using PatternCompiler.Prediction.Compare;

namespace PatternCompiler.Cli.Comparing;

/// <summary>One file of two folders.</summary>
/// <param name="Name">Its name below both folders.</param>
/// <param name="Outcome">What became of it.</param>
/// <param name="Difference">Two documents compared; null if they are the same byte for byte, no documents, or not both there.</param>
/// <param name="Fault">Why it cannot be compared, or null.</param>
internal sealed record FileComparison(string Name, FileOutcome Outcome, DocumentComparison? Difference = null, Diagnostic? Fault = null);
