using System.Globalization;
using System.Text.Json;
using PatternCompiler.BackEnds.Drawing;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Oracles.BackEnds;

/// <summary>
/// Stars, tight paths and round ends that we write, read by gdspy and ezdxf, and measured by Shapely (GEOS) by the even-odd
/// rule: their area is that of the layout.
/// </summary>
public sealed class WrittenAreaTests
{
    private const int Count = 60;

    private const string Gdsii = """
        import json, sys, gdspy
        from shapely.geometry import Polygon
        from shapely.ops import unary_union
        from shapely.validation import make_valid
        library = gdspy.GdsLibrary()
        library.read_gds(sys.argv[1], units="import")
        (top,) = library.top_level()
        print(json.dumps({str(layer): unary_union([make_valid(Polygon(p)) for p in polygons]).area for (layer, _), polygons in top.get_polygons(by_spec=True).items()}))
        """;

    private const string Dxf = """
        import json, sys, ezdxf
        from shapely.geometry import LineString, Polygon
        from shapely.ops import unary_union
        from shapely.validation import make_valid
        areas = {}
        for e in ezdxf.readfile(sys.argv[1]).modelspace():
            if e.dxftype() == "LWPOLYLINE":
                points = [(x, y) for x, y, *_ in e.get_points()]
                width = e.dxf.get("const_width", 0)
                area = LineString(points).buffer(width / 2, cap_style=2, join_style=2, mitre_limit=4) if width else make_valid(Polygon(points))
            elif e.dxftype() == "HATCH":
                outer, *holes = [[(x, y) for x, y, *_ in path.vertices] for path in e.paths]
                area = make_valid(Polygon(outer))
                for hole in holes:
                    area = area.symmetric_difference(make_valid(Polygon(hole)))
            else:
                raise ValueError(e.dxftype())
            areas.setdefault(e.dxf.layer.split("_")[0], []).append(area)
        print(json.dumps({layer: unary_union(parts).area for layer, parts in areas.items()}))
        """;

    [GdspyFact]
    public void Gdspy_finds_the_same_areas() => Compare(DrawingFormat.Gdsii, Gdsii);

    [EzdxfFact]
    public void Ezdxf_finds_the_same_areas() => Compare(DrawingFormat.Dxf, Dxf);

    private static void Compare(DrawingFormat format, string program)
    {
        LayoutDocument layout = Tangles();
        FlatLayout flat = FlattenPass.Run(layout, FlattenOptions.Default, new());
        string name = Path.GetTempFileName();
        try
        {
            using (FileStream output = File.Create(name))
            {
                DrawingWriter.Write(layout, format, output, DrawingWriteOptions.Default, new DiagnosticSink());
            }

            (int exitCode, string json, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, "-c", program, name);
            Assert.True(exitCode == 0, errors);
            using JsonDocument found = JsonDocument.Parse(json);
            foreach (FlatLayer group in flat.Groups)
            {
                ContourSet area = RegionBoolean.Merge(group.Area, FillRule.NonZero, 1, default);
                double sides = 0;
                double twice = 0;
                for (int i = 0; i < area.Count; i++)
                {
                    twice += (double)ExactArea.Twice(area[i]);
                    sides += Length(area[i]);
                }

                // Crossings and ends are rounded to the grid: a step of 0.1 nm along all sides at most.
                string layer = layout.Layers[group.Layer].Split('/')[0];
                Assert.Equal(twice / 2 * 1e-8, found.RootElement.GetProperty(layer).GetDouble(), sides * 1e-8 + 1e-9);
            }

            Assert.Equal(flat.Groups.Length, found.RootElement.EnumerateObject().Count());
        }
        finally
        {
            File.Delete(name);
        }
    }

    private static LayoutDocument Tangles()
    {
        var random = new Random(7);
        GridPoint Corner() => new(random.Next(-80_000, 80_000), random.Next(-80_000, 80_000));
        var shapes = new List<Shape>();
        for (int i = 0; i < Count; i++)
        {
            shapes.Add((i % 3) switch
            {
                0 => new PolygonShape(i, DoseFactor.One, ContourSet.FromRing([.. Enumerable.Range(0, 5 + (i / 10)).Select(_ => Corner())]), i % 2 == 0 ? FillRule.EvenOdd : FillRule.NonZero),
                1 => new PathShape(i, DoseFactor.One, [.. Enumerable.Range(0, 2 + (i / 15)).Select(_ => Corner())], random.Next(50, 6000), (PathEnd)(i % 2 == 0 ? 0 : i / 3 % 3)),
                _ => new PathShape(i, DoseFactor.One, [new(0, 0), new(9000, 0), new(9000, 7000), new(20_000, 7000 + (100 * i))], 2 * random.Next(50, 900), PathEnd.Flat),
            });
        }

        return new LayoutDocument(100, [.. Enumerable.Range(1, Count).Select(i => i.ToString(CultureInfo.InvariantCulture) + "/0")], [new Cell("TOP", [.. shapes], [])], "TOP");
    }

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
}
