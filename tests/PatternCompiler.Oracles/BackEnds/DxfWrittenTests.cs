using System.Text;
using System.Text.Json;
using PatternCompiler.BackEnds.Drawing;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Oracles.BackEnds;

/// <summary>
/// Drawings that we write, read by ezdxf (a general-purpose Python library, Debian package python3-ezdxf): its audit finds
/// nothing, and the areas by its numbers are those of closed forms and of our own flat layout.
/// </summary>
public sealed class DxfWrittenTests
{
    private const string Layout = """
        layout 1
        unit um
        layer pads
        layer "größe 1"
        polygon on pads (0, 0) (10, 0) (10, 10) (0, 10) hole (2, 2) (4, 2) (4, 4) (2, 4) hole (5, 5) (8, 5) (8, 8) (5, 8) part (6, 6) (7, 6) (7, 7) (6, 7)
        circle on pads at (20, 20) radius 2
        ring on pads at (30, 20) inner 1 outer 2.5
        path on pads width 0.5 (0, 30) (10, 30)
        path on pads width 0.5 ends square (0, 40) (10, 40)
        path on "größe 1" width 0.5 (0, 0) (10, 0) (10, 10) (0, 10) (0, 0)
        line on "größe 1" (0, 0) (5, 5) (0, 5) (0, 0)
        dot on "größe 1" at (3, 3)
        cell pad
          rect on pads from (0, 0) to (1, 2)
          ring on "größe 1" at (0, 0) inner 1 outer 2
        end
        array pad at (50, 50) columns 4 column-step 5 rows 3 row-step (0, 7) rotate 90
        place pad at (-50, -50) mirror left-right scale 2 rotate 30

        """;

    [EzdxfFact]
    public void Every_shape_has_the_area_of_its_closed_form()
    {
        using JsonDocument found = Measure(Read(Layout));
        double ring = Math.PI * 3;
        AssertArea(found, "pads", 100 - 4 - 9 + 1 + (4 * Math.PI) + (Math.PI * 5.25) + 5 + (10.5 * 0.5) + (2 * (12 + 4)));
        AssertArea(found, "größe 1", (40 * 0.5) + (ring * (12 + 4)));
        Assert.Equal(
            ["CIRCLE 1", "HATCH 3", "INSERT 2", "LWPOLYLINE 4", "POINT 1"],
            found.RootElement.GetProperty("types").EnumerateObject().Select(t => $"{t.Name} {t.Value}").Order());
    }

    // The example: the merged result of everything, with every cell in its place, as one lays it over the original.
    [EzdxfFact]
    public void The_merged_example_has_our_own_area()
    {
        string path = OutsidePrograms.Corpus("..", "..", "examples", "humidity-sensor", "humidity-sensor.dxf");
        using FileStream file = File.OpenRead(path);
        FlatLayout flat = FlattenPass.Run(DrawingReader.Read(file, path, DrawingOptions.Default, new()), FlattenOptions.Default, new());
        var shapes = new List<Shape>();
        var areas = new Dictionary<int, double>();
        foreach (FlatLayer group in flat.Groups)
        {
            ContourSet merged = RegionBoolean.Merge(group.Area, FillRule.NonZero, 1, default);
            shapes.Add(new PolygonShape(group.Layer, group.DoseFactor, merged, FillRule.NonZero));
            areas[group.Layer] = areas.GetValueOrDefault(group.Layer) + Enumerable.Range(0, merged.Count).Sum(i => (double)ExactArea.Twice(merged[i]) / 2e8);
        }

        using JsonDocument found = Measure(new(100, flat.LayerNames, [new Cell("TOP", [.. shapes], [])], "TOP"));
        Assert.NotEmpty(areas);
        foreach ((int layer, double area) in areas)
        {
            AssertArea(found, flat.LayerNames[layer], area);
        }
    }

    private static LayoutDocument Read(string text) =>
        DrawingReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "a.layout", DrawingOptions.Default, new());

    // Areas are sums of exact coordinates in double precision.
    private static void AssertArea(JsonDocument found, string layer, double expected) =>
        Assert.Equal(expected, found.RootElement.GetProperty("areas").GetProperty(layer).GetDouble(), 1e-9 * expected);

    private static JsonDocument Measure(LayoutDocument layout)
    {
        string name = Path.GetTempFileName();
        try
        {
            using (FileStream output = File.Create(name))
            {
                DrawingWriter.Write(layout, DrawingFormat.Dxf, output, DrawingWriteOptions.Default, new DiagnosticSink());
            }

            (int exitCode, string json, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, OutsidePrograms.Corpus("Dxf", "measure-with-ezdxf.py"), name);
            Assert.True(exitCode == 0, errors);
            JsonDocument found = JsonDocument.Parse(json);
            Assert.Equal("AC1032", found.RootElement.GetProperty("version").GetString());
            Assert.Equal(13, found.RootElement.GetProperty("units").GetInt32());
            Assert.Empty(found.RootElement.GetProperty("errors").EnumerateArray());
            Assert.Empty(found.RootElement.GetProperty("fixes").EnumerateArray());
            return found;
        }
        finally
        {
            File.Delete(name);
        }
    }
}
