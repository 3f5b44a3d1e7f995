using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>Two loose ends that lie close together but were not joined.</summary>
internal readonly record struct NearMiss(GridPoint First, EntityOrigin FirstOrigin, GridPoint Second, EntityOrigin SecondOrigin)
{
    /// <summary>Distance of the two ends in grid steps.</summary>
    public double Distance => Math.Sqrt(ChainNodes.SquaredDistance(First, Second));
}
