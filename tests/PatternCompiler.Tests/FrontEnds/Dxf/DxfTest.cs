using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Dxf;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Tests.FrontEnds.Dxf;

/// <summary>Makes small drawings and takes layouts apart, for the tests of the DXF reader.</summary>
internal static class DxfTest
{
    /// <summary>A whole drawing in µm: one string an entity, its group codes and values separated by blanks.</summary>
    public static string Drawing(params string[] entities) => Sections("", entities);

    /// <summary>A whole drawing in µm with blocks: "BLOCK …", its entities, "ENDBLK".</summary>
    public static string WithBlocks(string[] blocks, params string[] entities) =>
        Sections("0 SECTION 2 BLOCKS " + string.Join(' ', blocks.Select(b => "0 " + b)) + " 0 ENDSEC ", entities);

    /// <summary>Reads text as a drawing named "a.dxf".</summary>
    public static LayoutDocument Read(string text, DrawingOptions? options = null, DiagnosticSink? sink = null) =>
        DxfReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "a.dxf", options ?? DrawingOptions.Default, sink ?? new(), default);

    /// <summary>Reads a drawing of the corpus.</summary>
    public static LayoutDocument ReadCorpus(string name, DrawingOptions? options = null, DiagnosticSink? sink = null)
    {
        using FileStream file = File.OpenRead(CorpusPath(name));
        return DxfReader.Read(file, name, options ?? DrawingOptions.Default, sink ?? new(), default);
    }

    /// <summary>Path of a file of the corpus.</summary>
    public static string CorpusPath(string name)
    {
        string folder = AppContext.BaseDirectory;
        while (!Directory.Exists(Path.Combine(folder, "tests", "Corpus", "Dxf")))
        {
            folder = Path.GetDirectoryName(folder) ?? throw new DirectoryNotFoundException("tests/Corpus/Dxf");
        }

        return Path.Combine(folder, "tests", "Corpus", "Dxf", name);
    }

    /// <summary>The text of the error that reading gives.</summary>
    public static string Error(string text, DrawingOptions? options = null) =>
        Assert.Throws<CompileException>(() => Read(text, options)).Message;

    /// <summary>All notes and warnings that reading gives.</summary>
    public static List<string> Messages(string text, DrawingOptions? options = null)
    {
        var sink = new DiagnosticSink();
        Read(text, options, sink);
        return [.. sink.Collected.Select(d => d.ToString())];
    }

    /// <summary>Every polygon of one ring as it lands in the drawing, in µm, by brute force; other shapes are left out.</summary>
    public static List<(string Layer, List<PlanePoint> Points)> Polygons(LayoutDocument layout)
    {
        var found = new List<(string, List<PlanePoint>)>();
        Place(layout, layout.TopCell, p => p, (layer, points) =>
            found.Add((layout.Layers[layer], [.. points.Select(p => layout.GridPicometres * 1e-6 * p)])));
        return found;
    }

    /// <summary>Sum of the areas of all polygons on a layer, in µm², overlaps counted each time.</summary>
    public static double Area(LayoutDocument layout, string layer) =>
        Polygons(layout).Where(p => p.Layer == layer).Sum(p => Math.Abs(SignedArea(p.Points)));

    /// <summary>The shoelace formula.</summary>
    public static double SignedArea(List<PlanePoint> points)
    {
        double twice = 0;
        for (int i = 0; i < points.Count; i++)
        {
            PlanePoint a = points[i];
            PlanePoint b = points[(i + 1) % points.Count];
            twice += (a.X * b.Y) - (b.X * a.Y);
        }

        return twice / 2;
    }

    private static void Place(LayoutDocument layout, string name, Func<PlanePoint, PlanePoint> map, Action<int, IEnumerable<PlanePoint>> take)
    {
        Cell cell = layout.Cells.Single(c => c.Name == name);
        foreach (RectangleShape r in cell.Shapes.OfType<RectangleShape>())
        {
            PlanePoint[] corners = [new(r.XLeft, r.YBottom), new(r.XRight, r.YBottom), new(r.XRight, r.YTop), new(r.XLeft, r.YTop)];
            take(r.Layer, corners.Select(map));
        }

        foreach (PolygonShape polygon in cell.Shapes.OfType<PolygonShape>())
        {
            if (polygon.Contours.Count != 1)
            {
                continue;
            }

            take(polygon.Layer, polygon.Contours[0].ToArray().Select(p => map(PlanePoint.From(p))));
        }

        foreach (Instance instance in cell.Instances)
        {
            for (int i = 0; i < instance.Repetition.Columns; i++)
            {
                for (int j = 0; j < instance.Repetition.Rows; j++)
                {
                    GridPoint c = instance.Repetition.ColumnStep;
                    GridPoint r = instance.Repetition.RowStep;
                    var at = new PlanePoint(instance.Origin.X + (i * (double)c.X) + (j * (double)r.X), instance.Origin.Y + (i * (double)c.Y) + (j * (double)r.Y));
                    double angle = instance.Orientation.RotationDegrees * Math.PI / 180;
                    Place(layout, instance.CellName, p =>
                    {
                        double x = p.X * instance.Orientation.ScaleX;
                        double y = p.Y * instance.Orientation.ScaleY;
                        return map(new(at.X + (x * Math.Cos(angle)) - (y * Math.Sin(angle)), at.Y + (x * Math.Sin(angle)) + (y * Math.Cos(angle))));
                    }, take);
                }
            }
        }
    }

    private static string Sections(string blocks, string[] entities)
    {
        string all = "0 SECTION 2 HEADER 9 $INSUNITS 70 13 0 ENDSEC " + blocks + "0 SECTION 2 ENTITIES "
            + string.Join(' ', entities.Select(e => "0 " + e)) + (entities.Length > 0 ? " " : "") + "0 ENDSEC 0 EOF";
        return all.Replace(' ', '\n') + "\n";
    }
}
