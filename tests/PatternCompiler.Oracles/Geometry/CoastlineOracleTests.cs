using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Utilities;
using NetTopologySuite.Operation.Buffer;
using NetTopologySuite.Operation.OverlayNG;
using NetTopologySuite.Precision;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Geometry.Regions;
using NtsGeometry = NetTopologySuite.Geometries.Geometry;

namespace PatternCompiler.Oracles.Geometry;

/// <summary>
/// Real outlines (coastlines of the Natural Earth data set, see the head of the file for source and licence) against
/// NetTopologySuite 2.6.
/// </summary>
public sealed class CoastlineOracleTests
{
    /// <summary>Grid steps to a unit of the file, so that rounding hardly counts against area.</summary>
    private const int Step = 1000;

    private static readonly GeometryFactory Factory = new(new PrecisionModel(1));
    private static readonly (ContourSet Raw, ContourSet Rings, NtsGeometry Land) Coast = Read();

    [Fact]
    public void The_merged_land_has_the_same_area_and_is_cut_exactly()
    {
        ContourSet merged = RegionBoolean.Merge(Coast.Rings, FillRule.EvenOdd);
        AssertClose(Coast.Land.Area, merged, 0);
        Assert.Equal((Fraction)ExactArea.Twice(merged), ExactArea.Twice(TrapezoidDecomposition.Compute(Coast.Rings, FillRule.EvenOdd)));
        Assert.Equal(
            (Fraction)ExactArea.Twice(RegionBoolean.Merge(Coast.Raw)),
            ExactArea.Twice(TrapezoidDecomposition.Compute(Coast.Raw)));
    }

    [Theory]
    [InlineData(BooleanOperation.Union, 370, 210)]
    [InlineData(BooleanOperation.Intersection, 370, 210)]
    [InlineData(BooleanOperation.Difference, -55, 900)]
    [InlineData(BooleanOperation.SymmetricDifference, 10_000, -1)]
    internal void Land_over_moved_land_agrees(BooleanOperation operation, int dx, int dy)
    {
        var moved = new ContourSetBuilder();
        for (int r = 0; r < Coast.Rings.Count; r++)
        {
            foreach (GridPoint p in Coast.Rings[r])
            {
                moved.Add(new GridPoint(p.X + (dx * Step), p.Y + (dy * Step)));
            }

            moved.EndRing();
        }

        NtsGeometry other = Coast.Land.Copy();
        other.Apply(AffineTransformation.TranslationInstance(dx * (double)Step, dy * (double)Step));
        double theirs = OverlayNG.Overlay(Coast.Land, other, Operation(operation), Factory.PrecisionModel).Area;
        ContourSet ours = RegionBoolean.Compute(Coast.Rings, moved.ToContourSet(), operation, FillRule.EvenOdd, FillRule.EvenOdd);
        AssertClose(theirs, ours, 2 * Coast.Land.Length);
    }

    [Theory]
    [InlineData(100)]
    [InlineData(-100)]
    [InlineData(1500)]
    public void Grown_and_shrunk_land_agrees(int distance)
    {
        double d = distance * (double)Step;
        NtsGeometry theirs = BufferOp.Buffer(Coast.Land, d, new BufferParameters(64, EndCapStyle.Round) { JoinStyle = JoinStyle.Round });
        ContourSet ours = RegionOffset.Compute(RegionBoolean.Merge(Coast.Rings, FillRule.EvenOdd), d, new OffsetShape(OffsetJoin.Round, ChordError: 1));

        // Their 64 chords to a quarter turn fall short by up to 7.5e-5 of the radius; their curve is simplified by 1 % of it.
        AssertClose(theirs.Area, ours, Coast.Land.Length * (2 + (0.01 * Math.Abs(d))));
    }

    private static ContourSet ToContours(NtsGeometry land)
    {
        var rings = new ContourSetBuilder();
        for (int i = 0; i < land.NumGeometries; i++)
        {
            var polygon = (Polygon)land.GetGeometryN(i);
            foreach (LineString ring in polygon.InteriorRings.Prepend(polygon.ExteriorRing))
            {
                foreach (Coordinate c in ring.Coordinates[..^1])
                {
                    rings.Add(new GridPoint((int)c.X, (int)c.Y));
                }

                rings.EndRing();
            }
        }

        return rings.ToContourSet();
    }

    private static void AssertClose(double theirs, ContourSet ours, double allowance) =>
        Assert.InRange((double)ExactArea.Twice(ours) / 2, theirs - allowance, theirs + allowance);

    private static NetTopologySuite.Operation.Overlay.SpatialFunction Operation(BooleanOperation operation) => operation switch
    {
        BooleanOperation.Union => OverlayNG.UNION,
        BooleanOperation.Intersection => OverlayNG.INTERSECTION,
        BooleanOperation.Difference => OverlayNG.DIFFERENCE,
        _ => OverlayNG.SYMDIFFERENCE,
    };

    private static (ContourSet Raw, ContourSet Rings, NtsGeometry Land) Read()
    {
        var rings = new ContourSetBuilder();
        var polygons = new List<Polygon>();
        LinearRing? shell = null;
        var holes = new List<LinearRing>();
        foreach (string line in File.ReadLines(Path.Combine(AppContext.BaseDirectory, "Data", "coastline-110m.txt")))
        {
            if (line.StartsWith('#'))
            {
                continue;
            }

            bool isHole = line.StartsWith("hole ", StringComparison.Ordinal);
            int[] numbers = [.. (isHole ? line[5..] : line).Split(' ').Select(word => int.Parse(word, System.Globalization.CultureInfo.InvariantCulture))];
            var points = new List<Coordinate>();
            for (int i = 0; i < numbers.Length; i += 2)
            {
                rings.Add(new GridPoint(numbers[i] * Step, numbers[i + 1] * Step));
                points.Add(new Coordinate(numbers[i] * Step, numbers[i + 1] * Step));
            }

            rings.EndRing();
            points.Add(points[0].Copy());
            LinearRing ring = Factory.CreateLinearRing([.. points]);
            if (isHole)
            {
                holes.Add(ring);
            }
            else
            {
                Finish();
                shell = ring;
            }
        }

        Finish();

        // Quantisation has made some rings touch and cross themselves; the other library wants them fixed. Both then work
        // on the fixed ones.
        NtsGeometry land = GeometryPrecisionReducer.Reduce(GeometryFixer.Fix(Factory.CreateMultiPolygon([.. polygons])), Factory.PrecisionModel);
        return (rings.ToContourSet(), ToContours(land), land);

        void Finish()
        {
            if (shell is not null)
            {
                polygons.Add(Factory.CreatePolygon(shell, [.. holes]));
                holes.Clear();
            }
        }
    }
}
