using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>A line, arc or open polyline that may be part of an outline.</summary>
/// <param name="Points">Its points, two or more.</param>
/// <param name="Origin">Where it came from.</param>
internal readonly record struct ChainPiece(GridPoint[] Points, EntityOrigin Origin);
