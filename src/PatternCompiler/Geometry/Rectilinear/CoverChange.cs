namespace PatternCompiler.Geometry.Rectilinear;

/// <summary>
/// A stretch [First, End) of cells whose cover differs below and above a grid line: a horizontal border edge of the result.
/// </summary>
internal readonly record struct CoverChange(int First, int End, bool IsCoveredAbove);
