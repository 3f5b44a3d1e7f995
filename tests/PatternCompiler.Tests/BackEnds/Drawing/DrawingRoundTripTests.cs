using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using System.Xml.Linq;
using CsCheck;
using PatternCompiler.BackEnds.Drawing;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.BackEnds.Drawing;

/// <summary>What is written and read again covers the same.</summary>
public sealed class DrawingRoundTripTests
{
    private static readonly DoseFactor One = DoseFactor.One;

    [Theory]
    [InlineData(DrawingFormat.Dxf)]
    [InlineData(DrawingFormat.Gdsii)]
    [InlineData(DrawingFormat.Svg)]
    internal void Every_shape_comes_back(DrawingFormat format)
    {
        LayoutDocument layout = Everything();
        LayoutDocument again = ThereAndBack(layout, format, new());
        FlatLayout before = Flat(layout);
        FlatLayout after = Flat(again);
        string[] layers = format switch { DrawingFormat.Gdsii => ["5/0", "1/0"], DrawingFormat.Dxf => ["5_0", "metal"], _ => ["5/0", "metal"] };
        Assert.Equal(layers, again.Layers.ToArray());
        for (int layer = 0; layer < 2; layer++)
        {
            // Curves are chords within 1 nm in one and may be other chords in the other.
            Assert.InRange(Difference(before, after, layer), 0, 2e-3);
            Assert.Equal(Lines(before, layer), Lines(after, layer));
        }

        Assert.Equal([new GridPoint(100, 15_000)], after.Groups.SelectMany(g => g.Dots));
    }

    [Theory]
    [InlineData(DrawingFormat.Dxf)]
    [InlineData(DrawingFormat.Gdsii)]
    [InlineData(DrawingFormat.Svg)]
    internal void Coordinates_come_back_exactly(DrawingFormat format) => RandomShapes.Sample(shapes =>
    {
        var layout = new LayoutDocument(100, ["5/0", "metal"], [new Cell("TOP", [.. shapes], [])], "TOP");
        LayoutDocument again = ThereAndBack(layout, format, new());
        FlatLayout before = Flat(layout);
        FlatLayout after = Flat(again);
        foreach (FlatLayer group in before.Groups)
        {
            // Layers come back in the order in which they are first drawn on.
            int layer = again.Layers.IndexOf(NameIn(format, layout.Layers[group.Layer]));
            ContourSet area = format == DrawingFormat.Svg ? Drawn(again, layer) : Area(after, layer);
            Assert.Equal(0, AreaOf(RegionBoolean.Compute(group.Area, area, BooleanOperation.SymmetricDifference)));
            Assert.Equal(Lines(before, group.Layer), Lines(after, layer));
            Assert.Equal(group.Dots, after.Groups.Where(g => g.Layer == layer).SelectMany(g => g.Dots));
        }

        Assert.Equal(before.Groups.Length, after.Groups.Length);
    }, iter: Iterations.Usually(200));

    // Crossings are rounded to the grid, and ends to it once more: a step along all sides at most.
    [Theory]
    [InlineData(DrawingFormat.Dxf)]
    [InlineData(DrawingFormat.Gdsii)]
    [InlineData(DrawingFormat.Svg)]
    internal void Stars_and_tight_paths_cover_the_same_by_any_fill_rule(DrawingFormat format) => Tangles.Sample(shape =>
    {
        var layout = new LayoutDocument(100, ["5/0"], [new Cell("TOP", [shape], [])], "TOP");
        FlatLayout before = Flat(layout);
        if (!before.Groups.Any(g => g.Area.Count > 0))
        {
            // A ring that runs clockwise, by the rule of positive windings: nothing to write.
            return;
        }

        LayoutDocument again = ThereAndBack(layout, format, new());
        double sides = before.Groups.Sum(g => Enumerable.Range(0, g.Area.Count).Sum(i => Length(g.Area[i])));
        Assert.InRange(Difference(before, Flat(again), 0), 0, (2 * sides + 10) * 1e-8);

        // SVG states its rule.
        foreach (PolygonShape polygon in again.Cells.SelectMany(c => c.Shapes).OfType<PolygonShape>().Where(p => p.Contours.Count == 1 && format != DrawingFormat.Svg))
        {
            ContourSet byOne = RegionBoolean.Merge(polygon.Contours, FillRule.EvenOdd, 1, default);
            ContourSet byOther = RegionBoolean.Merge(polygon.Contours, FillRule.NonZero, 1, default);
            Assert.Equal(0, AreaOf(RegionBoolean.Compute(byOne, byOther, BooleanOperation.SymmetricDifference)));
        }
    }, iter: Iterations.Usually(300));

    [Fact]
    public void Only_paths_that_all_readers_agree_on_stay_paths()
    {
        PathShape Path(PathEnd end, int width, params (int X, int Y)[] points) => new(0, One, [.. points.Select(p => new GridPoint(p.X, p.Y))], width, end);
        Shape[] shapes =
        [
            Path(PathEnd.Flat, 100, (0, 0), (1000, 700)), Path(PathEnd.Square, 100, (0, 0), (1000, 0), (1000, 800)),
            Path(PathEnd.Round, 100, (0, 0), (1000, 0)), Path(PathEnd.Flat, 100, (0, 0), (1000, 0), (0, 200)),
            Path(PathEnd.Flat, 101, (0, 0), (1000, 0)), Path(PathEnd.Flat, 100, (0, 0), (1000, 0), (1000, 90), (0, 90)),
            Path(PathEnd.Flat, 100, (0, 0), (1000, 0), (1000, 1000), (500, 1000), (500, -500)), Path(PathEnd.Flat, 100, (0, 0), (1000, 0), (1000, 1000), (0, 1000), (0, 0)),
        ];
        foreach (DrawingFormat format in (DrawingFormat[])[DrawingFormat.Gdsii, DrawingFormat.Dxf])
        {
            LayoutDocument again = ThereAndBack(new(100, ["5"], [new Cell("TOP", [.. shapes], [])], "TOP"), format, new());
            PathShape[] kept = [.. again.Cells[0].Shapes.OfType<PathShape>()];
            Assert.Equal([2, 3], kept.Select(path => path.Points.Length));
        }
    }

    [Fact]
    public void Holes_stay_holes()
    {
        LayoutDocument layout = Everything();
        var dxf = (PolygonShape)ThereAndBack(layout, DrawingFormat.Dxf, new()).Cells[0].Shapes[2];
        Assert.Equal(2, dxf.Contours.Count);
        // The outline runs to the hole along a bridge and back: two corners more than both rings have, and none is cut.
        var gdsii = (PolygonShape)ThereAndBack(layout, DrawingFormat.Gdsii, new()).Cells[0].Shapes[2];
        Assert.Equal(10, Assert.Single(Enumerable.Range(0, gdsii.Contours.Count).Select(i => gdsii.Contours[i].Length)));
    }

    [Fact]
    public void A_closed_line_in_dxf_stays_a_line()
    {
        Shape[] shapes =
        [
            new LineShape(0, One, [new(0, 0), new(1000, 0), new(1000, 1000), new(0, 0)]),
            new LineShape(0, One, [new(5000, 0), new(6000, 0)]), new LineShape(0, One, [new(6000, 0), new(6000, 900)]),
        ];
        LayoutDocument again = ThereAndBack(new(100, ["a"], [new Cell("TOP", [.. shapes], [])], "TOP"), DrawingFormat.Dxf, new());
        Assert.Equal([4, 2, 2], again.Cells[0].Shapes.Cast<LineShape>().Select(l => l.Points.Length));
    }

    [Fact]
    public void Layer_names_come_back_from_svg()
    {
        Shape[] shapes = [.. Enumerable.Range(0, 3).Select(i => new RectangleShape(i, One, 0, 0, 10, 10))];
        string[] names = ["fine lines", "fine_lines", "a<b>&\"c\" ü"];
        LayoutDocument again = ThereAndBack(new(100, [.. names], [new Cell("TOP", [.. shapes], [])], "TOP"), DrawingFormat.Svg, new());
        Assert.Equal(names, again.Layers);
    }

    [Theory]
    [InlineData(DrawingFormat.Dxf)]
    [InlineData(DrawingFormat.Gdsii)]
    internal void Placed_cells_and_arrays_come_back_as_such(DrawingFormat format) =>
        Gen.Select(Gen.Int[0, 3], Gen.Bool, Gen.Int[1, 4], Gen.Int[1, 3], Gen.Int[-900, 900], Gen.Int[-900, 900]).Sample((turns, mirror, columns, rows, dx, dy) =>
        {
            var pad = new Cell("PAD", [new RectangleShape(0, One, 10, 20, 110, 50), Polygon(0, (0, 0), (40, 0), (0, 30))], []);
            var row = new Cell("ROW", [], [new Instance("PAD", new(dx, dy), new(turns * 90, mirror ? -1 : 1, 1), new(columns, 1, new(200, 0), default), One)]);
            var top = new Cell("TOP", [], [new Instance("ROW", new(dy, -dx), new(90, 1, mirror ? 1 : -1), new(rows, columns, new(0, 1000), new(1000, 0)), One)]);
            var layout = new LayoutDocument(100, ["5"], [pad, row, top], "TOP");
            LayoutDocument again = ThereAndBack(layout, format, new());
            Assert.Equal(3, again.Cells.Length);
            Assert.Single(again.Cells[2].Instances);
            Assert.Equal(0, Difference(Flat(layout), Flat(again), 0));
        }, iter: Iterations.Usually(60));

    [Fact]
    public void An_array_turned_against_its_steps_is_written_out_in_dxf_and_kept_in_gdsii()
    {
        var pad = new Cell("PAD", [new RectangleShape(0, One, 0, 0, 100, 50)], []);
        var top = new Cell("TOP", [], [new Instance("PAD", default, new(30, 2, 2), new(3, 2, new(500, 0), new(0, 700)), One)]);
        var layout = new LayoutDocument(100, ["5"], [pad, top], "TOP");
        LayoutDocument dxf = ThereAndBack(layout, DrawingFormat.Dxf, new());
        Assert.Equal(6, dxf.Cells[1].Instances.Length);
        Assert.InRange(Difference(Flat(layout), Flat(dxf), 0), 0, 1e-4);
        LayoutDocument gdsii = ThereAndBack(layout, DrawingFormat.Gdsii, new());
        Assert.Single(gdsii.Cells[1].Instances);
        Assert.Equal(0, Difference(Flat(layout), Flat(gdsii), 0));
    }

    [Fact]
    public void A_cell_stretched_in_one_direction_makes_gdsii_flat_and_stays_a_block_in_dxf()
    {
        var disc = new Cell("DISC", [new CircleShape(0, One, default, 1000)], []);
        var top = new Cell("TOP", [], [new Instance("DISC", new(50, 60), new(20, 3, 1), Repetition.Once, One)]);
        var layout = new LayoutDocument(100, ["5"], [disc, top], "TOP");
        var sink = new DiagnosticSink();
        LayoutDocument gdsii = ThereAndBack(layout, DrawingFormat.Gdsii, sink);
        Assert.Single(gdsii.Cells);
        Assert.Equal("note PC2054: cells are scaled differently in x and y, which GDSII has no form for; written without cells", sink.Collected[0].ToString());
        Assert.Equal(0, Difference(Flat(layout), Flat(gdsii), 0));
        Assert.Equal(2, ThereAndBack(layout, DrawingFormat.Dxf, new()).Cells.Length);
    }

    [Fact]
    public void What_a_format_cannot_hold_is_reported()
    {
        var sink = new DiagnosticSink();
        ThereAndBack(Everything(), DrawingFormat.Gdsii, sink);
        Assert.Equal(
            [
                "warning PC2051: 1 shape or instance has a dose factor, which GDSII has no place for",
                "note PC2053: layers written under other names: metal as 1/0",
            ],
            sink.Collected.Select(d => d.ToString()));
    }

    [Fact]
    public void An_area_with_many_parts_keeps_outlines_and_cuts_only_what_has_holes()
    {
        // Nested frames and loose squares in one shape, as merged areas come.
        var rings = new ContourSetBuilder();
        for (int i = 0; i < 20; i++)
        {
            AddSquare(rings, i * 1000, 0, 900);
        }

        AddSquare(rings, 0, 5000, 4000);
        AddHole(rings, 500, 5500, 3000);
        AddSquare(rings, 1000, 6000, 1000);
        AddHole(rings, 1200, 6200, 200);
        AddHole(rings, 1500, 6200, 200);
        var shape = new PolygonShape(0, One, rings.ToContourSet(), FillRule.NonZero);
        List<GridPoint[]> written = HoleFreeRings.Of(shape, int.MaxValue, WorkLimits.Usual, out bool wasCut, default);
        Assert.False(wasCut);
        Assert.Equal(22, written.Count);
        Assert.Equal(20, written.Count(r => r.Length == 4 && r[0].Y == 0 && r[2].Y == 900));
        double area = (20 * 900.0 * 900) + (4000.0 * 4000) - (3000.0 * 3000) + (1000.0 * 1000) - (2 * 200.0 * 200);
        Assert.Equal(area, written.Sum(r => Math.Abs(Shoelace(r))));
    }

    // Against brute force: every part's hole lies in its outer ring.
    [Fact]
    public void Parts_of_random_merged_areas_add_up() => Gen.Int[3, 40].Select(Gen.Int[0, 100_000]).Sample((count, seed) =>
    {
        var random = new Random(seed);
        var rings = new ContourSetBuilder();
        for (int i = 0; i < count; i++)
        {
            GridPoint[] ring = [.. Enumerable.Range(0, 3 + (i % 5)).Select(_ => new GridPoint(random.Next(60), random.Next(60)))];
            rings.AddRing(ring);
        }

        ContourSet merged = RegionBoolean.Merge(rings.ToContourSet(), FillRule.EvenOdd, 1, default);
        double whole = 0;
        for (int i = 0; i < merged.Count; i++)
        {
            whole += Shoelace(merged[i].ToArray());
        }

        double parts = 0;
        foreach (ContourSet part in AreaParts.Split(merged))
        {
            Assert.True(Shoelace(part[0].ToArray()) > 0);
            var outer = new ContourSetBuilder();
            outer.AddRing(part[0]);
            ContourSet cover = outer.ToContourSet();
            double area = Shoelace(part[0].ToArray());
            for (int i = 1; i < part.Count; i++)
            {
                double hole = Shoelace(part[i].ToArray());
                Assert.True(hole < 0);
                area += hole;
                Assert.Equal(0, AreaOf(RegionBoolean.Compute(ContourSet.FromRing(part[i]), cover, BooleanOperation.Difference)));
            }

            Assert.True(area > 0);
            parts += area;
        }

        Assert.Equal(whole, parts);
    }, iter: Iterations.Usually(300));

    [Fact]
    public void The_same_layout_gives_the_same_bytes_in_any_culture()
    {
        CultureInfo culture = CultureInfo.CurrentCulture;
        foreach (DrawingFormat format in Enum.GetValues<DrawingFormat>())
        {
            byte[] first = Bytes(Everything(), format, new());
            try
            {
                var comma = (CultureInfo)CultureInfo.InvariantCulture.Clone();
                comma.NumberFormat.NumberDecimalSeparator = ",";
                comma.NumberFormat.NegativeSign = "~";
                CultureInfo.CurrentCulture = comma;
                Assert.Equal(first, Bytes(Everything(), format, new()));
            }
            finally
            {
                CultureInfo.CurrentCulture = culture;
            }
        }
    }

    [Fact]
    public void Svg_is_well_formed_and_at_true_scale()
    {
        XDocument svg = XDocument.Parse(Encoding.UTF8.GetString(Bytes(Everything(), DrawingFormat.Svg, new())));
        XNamespace ns = "http://www.w3.org/2000/svg";
        double[] box = [.. svg.Root!.Attribute("viewBox")!.Value.Split(' ').Select(v => double.Parse(v, CultureInfo.InvariantCulture))];
        string width = svg.Root.Attribute("width")!.Value;
        // One user unit is a micrometre.
        Assert.Equal(box[2] / 1000, double.Parse(width[..^2], CultureInfo.InvariantCulture), 9);
        XElement[] layers = [.. svg.Descendants(ns + "g").Where(g => g.Attribute("id") is not null)];
        Assert.Equal(["5/0", "metal"], layers.Select(g => g.Attribute("id")!.Value));
        double area = layers.Elements(ns + "path").Where(p => p.Attribute("stroke") is null).Sum(p => PathArea(p.Attribute("d")!.Value));
        FlatLayout flat = Flat(Everything());
        double expected = flat.Groups.Sum(g => Enumerable.Range(0, g.Area.Count).Sum(i => Shoelace(g.Area[i].ToArray()))) * 1e-8;
        Assert.Equal(expected, area, 6);
    }

    // Every kind of shape, and any coordinates: polygons may cross themselves, areas with holes do not.
    private static readonly Gen<Shape[]> RandomShapes = Gen.OneOf<Shape>(
        Gen.Select(Layer, Corner, Gen.Int[1, 5000], Gen.Int[1, 5000]).Select(
            Shape (layer, at, width, height) => new RectangleShape(layer, One, at.X, at.Y, at.X + width, at.Y + height)),
        Gen.Select(Layer, Corner.Array[3, 9]).Select(
            Shape (layer, corners) => new PolygonShape(layer, One, ContourSet.FromRing(corners), FillRule.NonZero)),
        Gen.Select(Layer, Corner, Gen.Int[3, 900].Array[1, 5]).Select(Shape (layer, at, sizes) => Frame(layer, at, sizes)),
        // A slanted path one or two steps wide may round to no area at all, and then there is nothing to come back.
        Gen.Select(Layer, Corner.Array[2], Gen.Int[3, 300], Gen.Enum<PathEnd>()).Select(
            // Round ends are other chords of the same circle, and crossings are rounded anew: both are compared elsewhere.
            Shape (layer, points, width, end) => new PathShape(layer, One, [.. Distinct(points)], width, end == PathEnd.Round ? PathEnd.Flat : end)),
        Gen.Select(Layer, Corner.Array[2, 5]).Select(Shape (layer, points) => new LineShape(layer, One, [.. Distinct(points)])),
        Gen.Select(Layer, Corner).Select(Shape (layer, at) => new DotShape(layer, One, at))).Array[1, 6];

    private static readonly Gen<Shape> Tangles = Gen.OneOf<Shape>(
        Gen.Select(Corner.Array[3, 11], Gen.Enum<FillRule>()).Select(Shape (corners, rule) => new PolygonShape(0, One, ContourSet.FromRing(corners), rule)),
        Gen.Select(Corner.Array[2, 6], Gen.Int[1, 60_000], Gen.Enum<PathEnd>()).Select(
            Shape (points, width, end) => new PathShape(0, One, [.. Distinct(points)], width, end)));

    private static double Length(ReadOnlySpan<GridPoint> ring)
    {
        double length = 0;
        for (int i = 0; i < ring.Length; i++)
        {
            GridPoint next = ring[(i + 1) % ring.Length];
            length += Math.Sqrt(Math.Pow((double)next.X - ring[i].X, 2) + Math.Pow((double)next.Y - ring[i].Y, 2));
        }

        return length;
    }

    private static Gen<int> Layer => Gen.Int[0, 1];

    private static Gen<GridPoint> Corner => Gen.Select(Gen.Int[-80_000, 80_000], Gen.Int[-80_000, 80_000]).Select((x, y) => new GridPoint(x, y));

    private static GridPoint[] Distinct(GridPoint[] points) =>
        [points[0], .. points.Skip(1).Select((p, i) => p == points[i] ? new GridPoint(p.X + 1, p.Y) : p)];

    // A slab with holes of several sizes side by side, the first of them with an island.
    private static PolygonShape Frame(int layer, GridPoint at, int[] sizes)
    {
        var rings = new ContourSetBuilder();
        int x = at.X + 10;
        foreach (int size in sizes)
        {
            rings.AddRing([new(x, at.Y), new(x + size, at.Y + 1), new(x + (size / 2), at.Y + size)]);
            x += size + 1;
        }

        rings.AddRing([new(at.X, at.Y - 10), new(x + 10, at.Y - 10), new(x + 10, at.Y + 1000), new(at.X, at.Y + 999)]);
        if (sizes[0] > 100)
        {
            AddSquare(rings, at.X + 10 + (sizes[0] / 2), at.Y + (sizes[0] / 4), 5);
        }

        return new PolygonShape(layer, One, rings.ToContourSet(), FillRule.EvenOdd);
    }

    private static string NameIn(DrawingFormat format, string name) => (format, name) switch
    {
        (DrawingFormat.Dxf, _) => name.Replace('/', '_'),
        (DrawingFormat.Gdsii, "metal") => "1/0",
        _ => name,
    };

    private static double PathArea(string d) => d.Split('z', StringSplitOptions.RemoveEmptyEntries).Sum(ring =>
    {
        double[][] points = [.. ring[1..].Split('L').Select(p => p.Split(' ').Select(v => double.Parse(v, CultureInfo.InvariantCulture)).ToArray())];
        double twice = 0;
        for (int i = 0; i < points.Length; i++)
        {
            double[] next = points[(i + 1) % points.Length];
            twice += (points[i][0] * next[1]) - (next[0] * points[i][1]);
        }

        return twice / 2;
    });

    private static LayoutDocument Everything()
    {
        var frame = new ContourSetBuilder();
        AddSquare(frame, 0, 20_000, 5000);
        AddHole(frame, 1000, 21_000, 2000);
        Shape[] shapes =
        [
            new RectangleShape(0, One, -500, 0, 1500, 700),
            Polygon(1, (3000, 0), (5000, 100), (4000, 1700)),
            new PolygonShape(1, DoseFactor.FromValue(1.25), frame.ToContourSet(), FillRule.EvenOdd),
            new CircleShape(0, One, new(8000, 0), 900),
            new RingShape(0, One, new(12_000, 0), 500, 1101),
            new PathShape(1, One, [new(0, 5000), new(3000, 5000), new(3000, 7000)], 300, PathEnd.Flat),
            new PathShape(1, One, [new(6000, 5000), new(9000, 5000), new(9000, 7000)], 300, PathEnd.Square),
            new PathShape(1, One, [new(12_000, 5000), new(15_000, 5000), new(15_000, 7000)], 300, PathEnd.Round),
            new PathShape(1, One, [new(18_000, 5000), new(21_000, 5000), new(21_000, 7000), new(18_000, 5000)], 200, PathEnd.Flat),
            new LineShape(1, One, [new(0, 10_000), new(3000, 10_000), new(3000, 12_000)]),
            new DotShape(0, One, new(100, 15_000)),
        ];
        return new LayoutDocument(100, ["5/0", "metal"], [new Cell("TOP", [.. shapes], [])], "TOP");
    }

    private static PolygonShape Polygon(int layer, params (int X, int Y)[] corners) =>
        new(layer, One, ContourSet.FromRing([.. corners.Select(c => new GridPoint(c.X, c.Y))]), FillRule.NonZero);

    private static void AddSquare(ContourSetBuilder rings, int x, int y, int size) =>
        rings.AddRing([new(x, y), new(x + size, y), new(x + size, y + size), new(x, y + size)]);

    private static void AddHole(ContourSetBuilder rings, int x, int y, int size) =>
        rings.AddRing([new(x, y), new(x, y + size), new(x + size, y + size), new(x + size, y)]);

    private static byte[] Bytes(LayoutDocument layout, DrawingFormat format, DiagnosticSink sink)
    {
        using var output = new MemoryStream();
        DrawingWriter.Write(layout, format, output, DrawingWriteOptions.Default, sink);
        return output.ToArray();
    }

    private static LayoutDocument ThereAndBack(LayoutDocument layout, DrawingFormat format, DiagnosticSink sink) =>
        DrawingReader.Read(new MemoryStream(Bytes(layout, format, sink)), "again", DrawingOptions.Default, new());

    private static FlatLayout Flat(LayoutDocument layout) => FlattenPass.Run(layout, FlattenOptions.Default, new());

    // Area covered by one and not by the other, in µm².
    private static double Difference(FlatLayout a, FlatLayout b, int layer) =>
        AreaOf(RegionBoolean.Compute(Area(a, layer), Area(b, layer), BooleanOperation.SymmetricDifference)) * 1e-8;

    private static ContourSet Area(FlatLayout flat, int layer)
    {
        var all = new ContourSetBuilder();
        foreach (FlatLayer group in flat.Groups.Where(g => g.Layer == layer))
        {
            all.AddAll(group.Area);
        }

        return all.ToContourSet();
    }

    // An SVG drawing holds a layer as one path, whose rings may cross: flat areas have the crossings on the grid, paths have not.
    private static ContourSet Drawn(LayoutDocument layout, int layer)
    {
        var all = new ContourSetBuilder();
        foreach (Shape shape in layout.Cells[0].Shapes.Where(s => s.Layer == layer))
        {
            if (shape is PolygonShape polygon)
            {
                all.AddAll(polygon.Contours);
            }
            else if (shape is RectangleShape r)
            {
                all.AddRing([new(r.XLeft, r.YBottom), new(r.XRight, r.YBottom), new(r.XRight, r.YTop), new(r.XLeft, r.YTop)]);
            }
        }

        return all.ToContourSet();
    }

    private static GridPoint[][] Lines(FlatLayout flat, int layer) =>
        [.. flat.Groups.Where(g => g.Layer == layer).SelectMany(g => g.Lines).Select(l => l.ToArray())];

    private static double AreaOf(ContourSet rings)
    {
        double area = 0;
        for (int i = 0; i < rings.Count; i++)
        {
            area += Shoelace(rings[i].ToArray());
        }

        return area;
    }

    private static double Shoelace(GridPoint[] ring)
    {
        double twice = 0;
        for (int i = 0; i < ring.Length; i++)
        {
            GridPoint a = ring[i];
            GridPoint b = ring[(i + 1) % ring.Length];
            twice += ((double)a.X * b.Y) - ((double)b.X * a.Y);
        }

        return twice / 2;
    }
}
