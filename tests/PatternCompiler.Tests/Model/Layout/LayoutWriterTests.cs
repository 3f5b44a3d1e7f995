using System.Collections.Immutable;
using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Tests.FrontEnds.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Model.Layout;

public sealed class LayoutWriterTests
{
    private static readonly Gen<GridPoint> AnyPoint = Gen.Select(
        Gen.Int[-GridPoint.Limit, GridPoint.Limit], Gen.Int[-GridPoint.Limit, GridPoint.Limit], (x, y) => new GridPoint(x, y));

    private static readonly Gen<DoseFactor> AnyDose = Gen.OneOf(
        Gen.Const(DoseFactor.One), Gen.Int[0, 2_000_000_000].Select(millionths => new DoseFactor(millionths)));

    private static readonly Gen<ContourSet> AnyContours = AnyPoint.Array[3, 20].Array[1, 4].Select(rings =>
    {
        var builder = new ContourSetBuilder();
        foreach (GridPoint[] ring in rings)
        {
            builder.AddRing(ring);
        }

        return builder.ToContourSet();
    });

    private static readonly Gen<Shape> AnyShape = Gen.OneOf(
        Gen.Select(AnyDose, AnyPoint, AnyPoint, (dose, a, b) => (Shape)new RectangleShape(
            0, dose, Math.Min(a.X, b.X - 1), Math.Min(a.Y, b.Y - 1), Math.Max(a.X, b.X - 1) + 1, Math.Max(a.Y, b.Y - 1) + 1)),
        Gen.Select(AnyDose, AnyContours, Gen.Enum<FillRule>(), (dose, rings, rule) => (Shape)new PolygonShape(1, dose, rings, rule)),
        Gen.Select(AnyDose, AnyPoint, Gen.Int[1, GridPoint.Limit], (dose, centre, radius) => (Shape)new CircleShape(1, dose, centre, radius)),
        Gen.Select(AnyDose, AnyPoint, Gen.Int[1, 1000], Gen.Int[1001, 5000], (dose, centre, inner, outer) => (Shape)new RingShape(0, dose, centre, inner, outer)),
        Gen.Select(AnyDose, AnyPoint.Array[2, 20], Gen.Int[1, 100_000], Gen.Enum<PathEnd>(),
            (dose, points, width, end) => (Shape)new PathShape(0, dose, [.. points], width, end)),
        Gen.Select(AnyDose, AnyPoint.Array[2, 20], (dose, points) => (Shape)new LineShape(0, dose, [.. points])),
        Gen.Select(AnyDose, AnyPoint, (dose, position) => (Shape)new DotShape(1, dose, position)));

    private static readonly Gen<double> AnyFactor = Gen.OneOf(Gen.Double[0.001, 1000], Gen.Int[0, 4].Select(i => new[] { 1.0, -1.0, 0.5, 1e-9, -1e9 }[i]));

    private static readonly Gen<Instance> AnyInstance = Gen.Select(
        AnyPoint,
        Gen.Select(Gen.OneOf(Gen.Int[0, 4].Select(i => new[] { 0.0, 90, 180, -90, 1e-7 }[i]), Gen.Double[-360, 360]), AnyFactor, AnyFactor,
            (angle, x, y) => new Orientation(angle, x, y)),
        Gen.Select(Gen.Int[1, 3], Gen.Int[1, 3], AnyPoint, AnyPoint, Gen.Int[-1_000_000, 1_000_000], Gen.Int[-1_000_000, 1_000_000],
            (columns, rows, columnStep, rowStep, columnDose, rowDose) => new Repetition(columns, rows, columnStep, rowStep, columnDose, rowDose)),
        AnyDose,
        (origin, orientation, repetition, dose) => new Instance("part \"1\"", origin, orientation, repetition, dose));

    private static readonly Gen<LayoutDocument> AnyLayout = Gen.Select(
        AnyShape.Array[0, 10], AnyShape.Array[0, 10], AnyInstance.Array[0, 4], Gen.Int[0, 4].Select(i => new[] { 1L, 100, 1000, 2_540, 1_000_000_000 }[i]),
        (inner, outer, instances, grid) => new LayoutDocument(
            grid,
            ["a", "layer 2"],
            [new Cell("part \"1\"", [.. inner], []), new Cell("chip", [.. outer], [.. instances])],
            "chip"));

    [Fact]
    public void Printing_what_was_read_gives_the_same_bytes() => AnyLayout.Sample(
        layout =>
        {
            string text = LayoutText.Print(layout);
            return LayoutText.Print(LayoutText.Read(text)) == text;
        },
        iter: Iterations.Usually(500));

    [Fact]
    public void Reading_what_was_printed_gives_the_same_shapes() => AnyLayout.Sample(
        layout =>
        {
            LayoutDocument again = LayoutText.Read(LayoutText.Print(layout));
            foreach ((Cell before, Cell after) in layout.Cells.Zip(again.Cells))
            {
                Assert.Equal(before.Shapes.Length, after.Shapes.Length);
                Assert.All(before.Shapes.Zip(after.Shapes), pair => AssertSame(pair.First, pair.Second));
                Assert.Equal(before.Instances.Select(i => (i.Origin, i.Orientation, i.DoseFactor)), after.Instances.Select(i => (i.Origin, i.Orientation, i.DoseFactor)));
            }
        },
        iter: Iterations.Usually(500));

    [Fact]
    public void The_canonical_form_reads_well()
    {
        LayoutDocument layout = LayoutText.Read(
            """
            layout 1
            unit nm
            grid 1 nm
            drawing chip
            layer pads
            layer "fine lines"
            let pitch = 2 um   # comments and parameters are resolved
            cell finger
            rect on pads size (500, 80 um) at (0, 0)
            end
            array finger columns 3 at (0, 0) column-step pitch rows 2 row-step (0, 100 um) column-dose 5/100
            place finger at (-1 um, 0) rotate 90 dose 1.1
            place finger at (0, 0) mirror up-down scale (2, 0.5)
            polygon on pads dose 0.9 (0, 0) (10, 0) (10, 10) hole (1, 1) (2, 1) (2, 2)
            polygon on pads rule nonzero (0, 0) (10, 0) (10, 10) hole (1, 1) (2, 2) (2, 1) part (20, 0) (30, 0) (30, 9)
            circle on "fine lines" at (0, 0) diameter 3 um
            ring on pads at (0, 0) outer 3 um inner 2 um
            path on pads ends square width 100 (0, 0) (5 um, 0)
            line on pads (0, 0) (5 um, 0)
            dot on pads at (7, 8)
            """);
        Assert.Equal(
            """
            layout 1
            unit um
            grid 1 nm
            drawing chip
            layer pads
            layer "fine lines"

            cell finger
              rect on pads from (0, 0) to (0.5, 80)
            end

            polygon on pads dose 0.9 (0, 0) (0.01, 0) (0.01, 0.01)
              hole (0.001, 0.001) (0.002, 0.001) (0.002, 0.002)
            polygon on pads rule nonzero (0, 0) (0.01, 0) (0.01, 0.01)
              hole (0.001, 0.001) (0.002, 0.002) (0.002, 0.001)
              part (0.02, 0) (0.03, 0) (0.03, 0.009)
            circle on "fine lines" at (0, 0) radius 1.5
            ring on pads at (0, 0) inner 2 outer 3
            path on pads width 0.1 ends square (0, 0) (5, 0)
            line on pads (0, 0) (5, 0)
            dot on pads at (0.007, 0.008)
            array finger at (0, 0) columns 3 column-step 2 column-dose 0.05 rows 2 row-step 100
            place finger at (-1, 0) rotate 90 dose 1.1
            place finger at (0, 0) mirror up-down scale (2, 0.5)

            """,
            LayoutText.Print(layout));
    }

    [Fact]
    public void Long_shapes_are_spread_over_lines_of_readable_length()
    {
        GridPoint[] ring = [.. Enumerable.Range(0, 10_000).Select(i => new GridPoint(i, i * i % 7919))];
        var layout = new LayoutDocument(100, ["a"], [new Cell("drawing", [new PolygonShape(0, DoseFactor.One, ContourSet.FromRing(ring), FillRule.EvenOdd)], [])], "drawing");
        string[] lines = LayoutText.Print(layout).Split('\n');
        Assert.All(lines, line => Assert.True(line.Length < 130, line));
        Assert.True(lines.Length < 2500, $"{lines.Length} lines");
    }

    private static void AssertSame(Shape before, Shape after)
    {
        switch (before)
        {
            case PolygonShape polygon:
                var read = Assert.IsType<PolygonShape>(after);
                Assert.Equal((polygon.Layer, polygon.DoseFactor, polygon.FillRule), (read.Layer, read.DoseFactor, read.FillRule));
                Assert.Equal(polygon.Contours.Count, read.Contours.Count);
                Assert.Equal(polygon.Contours.Points.ToArray(), read.Contours.Points.ToArray());
                break;
            case PathShape path:
                Assert.Equal(path.Points.ToArray(), Assert.IsType<PathShape>(after).Points.ToArray());
                Assert.Equal(path with { Points = [] }, (PathShape)after with { Points = [] });
                break;
            case LineShape line:
                Assert.Equal(line.Points.ToArray(), Assert.IsType<LineShape>(after).Points.ToArray());
                break;
            default:
                Assert.Equal(before, after);
                break;
        }
    }
}
