using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Buffer;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Tests;

namespace PatternCompiler.Oracles.Geometry;

/// <summary>Against the buffer operation of NetTopologySuite 2.6 (NuGet package), which works in floating point.</summary>
public sealed class OffsetOracleTests
{
    private static readonly GeometryFactory Factory = new();

    [Fact]
    public void Round_offsets_of_random_polygons_agree()
    {
        for (int seed = 0; seed < Iterations.Usually(150); seed++)
        {
            var random = new Random(seed);
            Polygon polygon = Star(random);
            foreach (double distance in new[] { 20_000.0, 3000, -3000, -20_000 })
            {
                var parameters = new BufferParameters(64, EndCapStyle.Round) { JoinStyle = JoinStyle.Round };
                double theirs = BufferOp.Buffer(polygon, distance, parameters).Area;
                ContourSet ours = RegionOffset.Compute(ToContours(polygon), distance, new OffsetShape(OffsetJoin.Round, ChordError: 0.25));

                // Theirs has 64 chords to a quarter turn, short of the arc by 7.5e-5 of the radius; ours rounds to the grid.
                double allowance = 20 + (polygon.Length + (7 * Math.Abs(distance))) * (0.7 + (1e-4 * Math.Abs(distance)));
                Assert.InRange((double)ExactArea.Twice(ours) / 2, theirs - allowance, theirs + allowance);
            }
        }
    }

    [Fact]
    public void Lines_with_ends_agree()
    {
        for (int seed = 0; seed < Iterations.Usually(100); seed++)
        {
            var random = new Random(seed);
            GridPoint[] path = [.. Enumerable.Range(0, random.Next(2, 7)).Select(_ => new GridPoint(random.Next(1_000_000), random.Next(1_000_000)))];
            LineString line = Factory.CreateLineString([.. path.Select(p => new Coordinate(p.X, p.Y))]);
            foreach ((PathCap cap, EndCapStyle style) in new[] { (PathCap.Round, EndCapStyle.Round), (PathCap.Flat, EndCapStyle.Flat), (PathCap.Square, EndCapStyle.Square) })
            {
                double theirs = BufferOp.Buffer(line, 30_000, new BufferParameters(64, style) { JoinStyle = JoinStyle.Round }).Area;
                ContourSet ours = RegionOffset.OfPath(path, 30_000, new OffsetShape(OffsetJoin.Round, ChordError: 0.25), cap);
                double allowance = 20 + (((2 * line.Length) + 250_000) * (0.7 + 3));
                Assert.InRange((double)ExactArea.Twice(ours) / 2, theirs - allowance, theirs + allowance);
            }
        }
    }

    /// <summary>
    /// The points of a polygonised circle jump by up to half a grid step. What a mitred offset of such a polygon covers is
    /// its area + perimeter · d + d² · Σ tan(turn / 2) (Steiner's formula for parallel polygons, turns to the right counted
    /// negative), as long as no edge vanishes: neither spikes at the jags nor rounding may add to it.
    /// </summary>
    [Theory]
    [InlineData(20)]
    [InlineData(-20)]
    public void Zones_with_rounding_jags_move_by_the_closed_form(double distance)
    {
        var zones = new ContourSetBuilder();
        double expected = 0;
        for (int zone = 100; zone < 112; zone++)
        {
            GridPoint[] outer = Circle(2500 * Math.Sqrt((2 * zone) + 1)), inner = Circle(2500 * Math.Sqrt(2 * zone));
            expected += ParallelArea(outer, distance) - ParallelArea(inner, -distance);
            zones.AddRing(outer);
            zones.AddRing([.. inner.Reverse()]);
        }

        ContourSet moved = RegionOffset.Compute(RegionBoolean.Merge(zones.ToContourSet()), distance, new OffsetShape(OffsetJoin.Mitre));
        double partsPerMillion = (((double)ExactArea.Twice(moved) / 2 / expected) - 1) * 1e6;
        Assert.InRange(partsPerMillion, -2, 2);
    }

    private static double ParallelArea(GridPoint[] ring, double distance)
    {
        double area = 0, perimeter = 0, turns = 0;
        for (int i = 0; i < ring.Length; i++)
        {
            GridPoint a = ring[i], b = ring[(i + 1) % ring.Length], c = ring[(i + 2) % ring.Length];
            double ux = b.X - a.X, uy = b.Y - a.Y, vx = c.X - b.X, vy = c.Y - b.Y;
            area += (((double)a.X * b.Y) - ((double)a.Y * b.X)) / 2;
            perimeter += Math.Sqrt((ux * ux) + (uy * uy));
            turns += Math.Tan(Math.Atan2((ux * vy) - (uy * vx), (ux * vx) + (uy * vy)) / 2);
        }

        return area + (perimeter * distance) + (turns * distance * distance);
    }

    private static GridPoint[] Circle(double radius) =>
        [.. Enumerable.Range(0, 2000)
            .Select(k => k * 2 * Math.PI / 2000)
            .Select(angle => new GridPoint((int)Math.Round(radius * Math.Cos(angle)), (int)Math.Round(radius * Math.Sin(angle))))];

    private static Polygon Star(Random random)
    {
        int count = random.Next(3, 25);
        var points = new List<Coordinate>();
        for (int i = 0; i < count; i++)
        {
            double angle = (i + (0.8 * random.NextDouble())) * 2 * Math.PI / count;
            double radius = 20_000 + (100_000 * random.NextDouble());
            points.Add(new Coordinate(Math.Round(radius * Math.Cos(angle)), Math.Round(radius * Math.Sin(angle))));
        }

        points.Add(points[0].Copy());
        return Factory.CreatePolygon([.. points]);
    }

    private static ContourSet ToContours(Polygon polygon)
    {
        var builder = new ContourSetBuilder();
        foreach (Coordinate c in polygon.ExteriorRing.Coordinates[..^1])
        {
            builder.Add(new GridPoint((int)c.X, (int)c.Y));
        }

        return RegionBoolean.Merge(builder.ToContourSet());
    }
}
