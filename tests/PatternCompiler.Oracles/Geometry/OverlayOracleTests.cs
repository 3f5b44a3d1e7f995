using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Overlay;
using NetTopologySuite.Operation.OverlayNG;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Tests;
using NtsGeometry = NetTopologySuite.Geometries.Geometry;

namespace PatternCompiler.Oracles.Geometry;

/// <summary>
/// Against NetTopologySuite 2.6 (NuGet package): OverlayNG with a fixed precision model of one grid step, which also rounds
/// crossings to the grid, by an implementation of its own.
/// </summary>
public sealed class OverlayOracleTests
{
    private static readonly GeometryFactory Factory = new(new PrecisionModel(1));

    [Theory]
    [InlineData(BooleanOperation.Union)]
    [InlineData(BooleanOperation.Intersection)]
    [InlineData(BooleanOperation.Difference)]
    [InlineData(BooleanOperation.SymmetricDifference)]
    internal void Areas_of_random_polygon_sets_agree(BooleanOperation operation)
    {
        for (int seed = 0; seed < Iterations.Usually(300); seed++)
        {
            var random = new Random(seed);
            ContourSet a = RandomSet(random), b = RandomSet(random);
            ContourSet ours = RegionBoolean.Compute(a, b, operation, FillRule.EvenOdd, FillRule.EvenOdd);

            NtsGeometry theirs = OverlayNG.Overlay(ToGeometry(a), ToGeometry(b), Operation(operation), Factory.PrecisionModel);

            // The two libraries may move an edge by half a step differently; the bound is that times the border's length.
            double allowance = 2 + Length(a) + Length(b);
            Assert.InRange((double)ExactArea.Twice(ours) / 2, theirs.Area - allowance, theirs.Area + allowance);
            Assert.True(ToValidGeometry(ours).IsValid, $"seed {seed}");
        }
    }

    [Fact]
    public void Areas_of_rectangle_unions_agree_exactly()
    {
        for (int seed = 0; seed < Iterations.Usually(300); seed++)
        {
            var random = new Random(seed);
            var builder = new ContourSetBuilder();
            NtsGeometry theirs = Factory.CreatePolygon();
            for (int i = random.Next(1, 30); i > 0; i--)
            {
                int x = random.Next(40), y = random.Next(40), w = random.Next(1, 20), h = random.Next(1, 20);
                builder.AddRing([new(x, y), new(x + w, y), new(x + w, y + h), new(x, y + h)]);
                NtsGeometry box = Factory.ToGeometry(new Envelope(x, x + w, y, y + h));
                theirs = OverlayNG.Overlay(theirs, box, OverlayNG.UNION, Factory.PrecisionModel);
            }

            ContourSet rings = builder.ToContourSet();
            Assert.Equal((Int128)(2 * theirs.Area), ExactArea.Twice(RegionBoolean.Merge(rings)));
            Assert.Equal((Fraction)(Int128)(2 * theirs.Area), ExactArea.Twice(TrapezoidDecomposition.Compute(rings)));
        }
    }

    private static ContourSet RandomSet(Random random)
    {
        // A coarse raster makes for touching, overlapping and repeated edges; magnified, rounding hardly counts against area.
        (int extent, int step) = random.Next(3) switch { 0 => (6, 1_000_000), 1 => (30, 200_000), _ => (6_000_000, 1) };
        var builder = new ContourSetBuilder();
        for (int ring = random.Next(1, 4); ring > 0; ring--)
        {
            for (int point = random.Next(3, 12); point > 0; point--)
            {
                builder.Add(new GridPoint(step * random.Next(extent), step * random.Next(extent)));
            }

            builder.EndRing();
        }

        return builder.ToContourSet();
    }

    /// <summary>
    /// Fans of triangles about each ring's first point, combined by symmetric difference: the even-odd area of the rings
    /// in exact terms, whatever crosses.
    /// </summary>
    private static NtsGeometry ToGeometry(ContourSet rings)
    {
        NtsGeometry sum = Factory.CreatePolygon();
        for (int r = 0; r < rings.Count; r++)
        {
            var ring = rings[r];
            for (int i = 1; i + 1 < ring.Length; i++)
            {
                Coordinate a = At(ring[0]), b = At(ring[i]), c = At(ring[i + 1]);
                Polygon triangle = Factory.CreatePolygon([a, b, c, a.Copy()]);
                if (triangle.Area > 0)
                {
                    sum = AreasOf(OverlayNG.Overlay(sum, triangle, OverlayNG.SYMDIFFERENCE, Factory.PrecisionModel));
                }
            }
        }

        return sum;
    }

    /// <summary>Leaves out the lines and points that the other library reports where areas touch.</summary>
    private static MultiPolygon AreasOf(NtsGeometry geometry) => Factory.CreateMultiPolygon(
        [.. Enumerable.Range(0, geometry.NumGeometries).Select(geometry.GetGeometryN).OfType<Polygon>()]);

    /// <summary>Outer rings with their holes, the way the other library wants them.</summary>
    private static MultiPolygon ToValidGeometry(ContourSet region)
    {
        var shells = new List<(LinearRing Ring, List<LinearRing> Holes)>();
        var holes = new List<LinearRing>();
        for (int r = 0; r < region.Count; r++)
        {
            Coordinate[] points = [.. region[r].ToArray().Append(region[r][0]).Select(At)];
            if (ExactArea.Twice(region[r]) > 0)
            {
                shells.Add((Factory.CreateLinearRing(points), []));
            }
            else
            {
                holes.Add(Factory.CreateLinearRing(points));
            }
        }

        foreach (LinearRing hole in holes)
        {
            var inside = Factory.CreatePolygon(hole);
            shells.Where(shell => Factory.CreatePolygon(shell.Ring).Covers(inside)).MinBy(shell => Factory.CreatePolygon(shell.Ring).Area).Holes.Add(hole);
        }

        return Factory.CreateMultiPolygon([.. shells.Select(shell => Factory.CreatePolygon(shell.Ring, [.. shell.Holes]))]);
    }

    private static Coordinate At(GridPoint point) => new(point.X, point.Y);

    private static double Length(ContourSet rings)
    {
        double length = 0;
        for (int r = 0; r < rings.Count; r++)
        {
            var ring = rings[r];
            for (int i = 0; i < ring.Length; i++)
            {
                length += At(ring[i]).Distance(At(ring[(i + 1) % ring.Length]));
            }
        }

        return length;
    }

    private static SpatialFunction Operation(BooleanOperation operation) => operation switch
    {
        BooleanOperation.Union => OverlayNG.UNION,
        BooleanOperation.Intersection => OverlayNG.INTERSECTION,
        BooleanOperation.Difference => OverlayNG.DIFFERENCE,
        _ => OverlayNG.SYMDIFFERENCE,
    };
}
