using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>Joins the curves of each loop of a region to rings.</summary>
internal static class RegionLowering
{
    /// <summary>Rings of the region. For the nonzero rule all run counter-clockwise, so that none cuts a hole into another.</summary>
    /// <param name="region">The region.</param>
    /// <param name="flatten">Turns a curve into grid points.</param>
    /// <param name="gap">Largest gap between two curves of a loop that is closed, in grid steps.</param>
    /// <param name="openLoops">Number of loops that had a larger gap and were closed by a straight line.</param>
    public static ContourSet ToContours(
        RegionEntity region, Func<Curves.DxfCurve, GridPoint[]> flatten, int gap, out int openLoops)
    {
        var rings = new ContourSetBuilder();
        openLoops = 0;
        foreach (Curves.DxfCurve[] loop in region.Loops)
        {
            var pieces = new List<ChainPiece>();
            foreach (Curves.DxfCurve curve in loop)
            {
                GridPoint[] points = flatten(curve);
                if (curve.IsClosed)
                {
                    AddRing(rings, points, region.Rule);
                }
                else if (points.Length > 1)
                {
                    pieces.Add(new(points, region.Origin));
                }
            }

            ChainResult joined = ChainJoiner.Join(pieces, gap, gap);
            foreach ((GridPoint[] ring, _) in joined.Closed)
            {
                AddRing(rings, ring, region.Rule);
            }

            foreach (OpenChain chain in joined.Open)
            {
                openLoops += chain.Points.Length > 2 ? 1 : 0;
                AddRing(rings, chain.Points, region.Rule);
            }
        }

        return rings.ToContourSet();
    }

    private static void AddRing(ContourSetBuilder rings, GridPoint[] ring, FillRule rule)
    {
        if (ring.Length < 3)
        {
            return;
        }

        if (rule == FillRule.NonZero && ExactArea.Twice(ring) < 0)
        {
            Array.Reverse(ring);
        }

        rings.AddRing(ring);
    }
}
