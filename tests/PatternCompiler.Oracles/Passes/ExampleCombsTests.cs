using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Union;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Passes.Flatten;
using NtsGeometry = NetTopologySuite.Geometries.Geometry;

namespace PatternCompiler.Oracles.Passes;

/// <summary>
/// A sensor works only while its two combs do not touch. In every example with electrodes, NetTopologySuite 2.6 (NuGet
/// package) unites what is drawn: it must leave two nets with a gap between them, each with a pad where pads are a layer of
/// their own.
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
        NtsGeometry electrodes = Union(flat, "electrodes");
        Assert.Equal(2, electrodes.NumGeometries);
        double gap = electrodes.GetGeometryN(0).Distance(electrodes.GetGeometryN(1)) * flat.GridPicometres / 1000;
        Assert.InRange(gap, LeastGapNanometres, double.PositiveInfinity);

        NtsGeometry pads = Union(flat, "pads");
        if (!pads.IsEmpty)
        {
            int[] met = [.. Enumerable.Range(0, 2).Select(net => PadsAt(electrodes.GetGeometryN(net)))];
            Assert.All(met, count => Assert.True(count > 0));
            Assert.All(Enumerable.Range(0, pads.NumGeometries), pad => Assert.True(
                !pads.GetGeometryN(pad).Intersects(electrodes.GetGeometryN(0)) || !pads.GetGeometryN(pad).Intersects(electrodes.GetGeometryN(1))));
        }

        int PadsAt(NtsGeometry net) => Enumerable.Range(0, pads.NumGeometries).Count(pad => pads.GetGeometryN(pad).Intersects(net));
    }

    private static FlatLayout Read(string path)
    {
        using FileStream stream = File.OpenRead(path);
        var options = new DrawingOptions { OpenInclude = (name, _) => Include(Path.Combine(Path.GetDirectoryName(path)!, name)) };
        var sink = new DiagnosticSink();
        return FlattenPass.Run(DrawingReader.Read(stream, path, options, sink), FlattenOptions.Default, sink);
    }

    private static IncludedFile Include(string path) => new(File.OpenRead(path), path);

    private static NtsGeometry Union(FlatLayout flat, string layer)
    {
        var rings = new List<NtsGeometry>();
        foreach (FlatLayer group in flat.Groups.Where(group => flat.LayerNames[group.Layer].Equals(layer, StringComparison.OrdinalIgnoreCase)))
        {
            for (int ring = 0; ring < group.Area.Count; ring++)
            {
                Coordinate[] points = [.. group.Area[ring].ToArray().Select(point => new Coordinate(point.X, point.Y))];
                rings.Add(Factory.CreatePolygon([.. points, points[0].Copy()]));
            }
        }

        return rings.Count == 0 ? Factory.CreatePolygon() : UnaryUnionOp.Union(rings);
    }
}
