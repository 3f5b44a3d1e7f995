using PatternCompiler.Diagnostics;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Where a cell is placed in another for the first time.</summary>
internal sealed record CellReference(string Name, SourcePlace Place, string SourceLine);
