using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>Pieces joined end to end that do not close.</summary>
/// <param name="Points">All points.</param>
/// <param name="Start">Entity at the first point.</param>
/// <param name="End">Entity at the last point.</param>
internal sealed record OpenChain(GridPoint[] Points, EntityOrigin Start, EntityOrigin End);
