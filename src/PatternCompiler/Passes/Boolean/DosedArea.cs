using PatternCompiler.Geometry;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Boolean;

/// <summary>A merged area with one dose factor.</summary>
internal readonly record struct DosedArea(DoseFactor DoseFactor, ContourSet Region);
