using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.OverlayNG;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Passes.Flatten;
using NtsGeometry = NetTopologySuite.Geometries.Geometry;

namespace PatternCompiler.Oracles.Passes;

/// <summary>
/// A sensor works only while its two combs do not touch. In every example with electrodes, NetTopologySuite 2.6 (NuGet
/// package) unites what is drawn: it must leave two nets with a gap between them, and no pad that meets both. Where pads are a
/// layer of their own, a net is what meets one.
/// </summary>
public sealed class ExampleCombsTests
{
    private const double LeastGapNanometres = 100;

    private static readonly GeometryFactory Factory = new(new PrecisionModel(1));

    public static TheoryData<string> Drawings
    {
        get
        {
            var found = new TheoryData<string>();
            foreach (string file in Directory.EnumerateFiles(Examples, "*", SearchOption.AllDirectories).Order(StringComparer.Ordinal))
            {
                if (Path.GetExtension(file) is ".layout" or ".dxf" && !file.Contains($"{Path.DirectorySeparatorChar}out{Path.DirectorySeparatorChar}", StringComparison.Ordinal)
                    && File.ReadAllText(file).Contains("electrodes", StringComparison.OrdinalIgnoreCase))
                {
                    found.Add(Path.GetRelativePath(Examples, file));
                }
            }

            return found;
        }
    }

    private static string Examples => OutsidePrograms.Corpus("..", "..", "examples");

    [Fact]
    public void All_examples_with_combs_are_looked_at() => Assert.True(Drawings.Count >= 4);

    [Theory]
    [MemberData(nameof(Drawings))]
    public void Combs_are_two_nets(string drawing)
    {
        FlatLayout flat = Read(Path.Combine(Examples, drawing));
        NtsGeometry[] pads = Parts(flat, "pads");

        // Without a pad a piece is none of the combs: a dose test, for one.
        NtsGeometry[] combs = [.. Parts(flat, "electrodes").Where(part => pads.Length == 0 || pads.Any(part.Intersects))];
        Assert.Equal(2, combs.Length);
        double gap = combs[0].Distance(combs[1]) * flat.GridPicometres / 1000;
        Assert.InRange(gap, LeastGapNanometres, double.PositiveInfinity);
        Assert.DoesNotContain(pads, pad => combs.All(pad.Intersects));
    }

    private static FlatLayout Read(string path)
    {
        using FileStream stream = File.OpenRead(path);
        var options = new DrawingOptions { OpenInclude = (name, _) => Include(Path.Combine(Path.GetDirectoryName(path)!, name)) };
        var sink = new DiagnosticSink();
        return FlattenPass.Run(DrawingReader.Read(stream, path, options, sink), FlattenOptions.Default, sink);
    }

    private static IncludedFile Include(string path) => new(File.OpenRead(path), path);

    /// <summary>What hangs together on a layer.</summary>
    private static NtsGeometry[] Parts(FlatLayout flat, string layer)
    {
        var rings = new List<NtsGeometry>();
        foreach (FlatLayer group in flat.Groups.Where(group => flat.LayerNames[group.Layer].Equals(layer, StringComparison.OrdinalIgnoreCase)))
        {
            for (int ring = 0; ring < group.Area.Count; ring++)
            {
                Coordinate[] points = [.. group.Area[ring].ToArray().Select(point => new Coordinate(point.X, point.Y))];
                Polygon polygon = Factory.CreatePolygon([.. points, points[0].Copy()]);
                rings.Add(polygon.IsValid ? polygon : polygon.Buffer(0));
            }
        }

        NtsGeometry all = rings.Count == 0 ? Factory.CreatePolygon() : OverlayNGRobust.Union(Factory.BuildGeometry(rings));
        return [.. Enumerable.Range(0, all.NumGeometries).Select(all.GetGeometryN).Where(part => !part.IsEmpty)];
    }
}
