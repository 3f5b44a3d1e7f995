using System.Collections.Immutable;
using PatternCompiler.Places;

namespace PatternCompiler.Jobs.Traces;

/// <summary>What the outputs of a build are traced back by: the drawings in their place, and which outputs they belong to.</summary>
/// <param name="Outputs">The outputs of the build, by their content.</param>
/// <param name="Drawing">What was drawn.</param>
internal sealed record Trace(ImmutableArray<TracedOutput> Outputs, DrawnPattern Drawing);

/// <summary>An output of a build.</summary>
/// <param name="Hash">SHA-256 of its content in hexadecimal.</param>
/// <param name="Name">Its name, for people.</param>
/// <param name="Field">Its write field; null for what is of the whole pattern.</param>
/// <param name="XFemtometres">Where its origin lies in the pattern.</param>
/// <param name="YFemtometres">As <paramref name="XFemtometres"/>.</param>
internal sealed record TracedOutput(string Hash, string Name, string? Field, long XFemtometres, long YFemtometres);
