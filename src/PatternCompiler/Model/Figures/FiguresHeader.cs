using System.Collections.Immutable;

namespace PatternCompiler.Model.Figures;

/// <summary>What precedes the figures of a figures document.</summary>
/// <param name="GridPicometres">Size of one grid step in picometres.</param>
/// <param name="Layers">Layer names; figures refer to them by index.</param>
internal sealed record FiguresHeader(long GridPicometres, ImmutableArray<string> Layers);
