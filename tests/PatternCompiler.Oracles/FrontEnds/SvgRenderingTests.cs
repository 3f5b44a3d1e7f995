using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Svg;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Oracles.FrontEnds;

/// <summary>
/// Covered areas against those that librsvg 2.54.7 (Debian package librsvg2-bin) draws: the page of 1000 x 1000 user units
/// in 16 squares, row by row from the top, each with the number of square units covered. How they were measured is
/// told in tests/Corpus/Svg/README.md.
/// </summary>
public sealed class SvgRenderingTests
{
    // librsvg draws in 256 levels and samples each pixel on a grid: along an edge its area is off by a fraction of a level.
    private const double RelativeError = 1e-3;
    private const double AbsoluteError = 4;

    private static readonly double[] Paths =
    [
        20000.0, 30000.0, 22496.01, 20000.49,
        23565.87, 11123.27, 3829.84, 12726.22,
        14230.25, 9860.23, 14999.17, 19998.34,
        29954.36, 15266.31, 31421.57, 15708.36,
    ];

    private static readonly double[] Strokes =
    [
        7250.47, 6932.6, 6947.96, 9708.09,
        7614.03, 4308.7, 4363.51, 4006.95,
        6554.67, 11816.05, 6987.0, 3600.0,
        3276.7, 10712.39, 6397.85, 21051.49,
    ];

    [Fact]
    public void Fills_cover_what_librsvg_draws() => Compare("paths.svg", Paths);

    [Fact]
    public void Strokes_cover_what_librsvg_draws() => Compare("strokes.svg", Strokes);

    private static void Compare(string name, double[] expected)
    {
        // 100 mm on a grid of 1 nm: a user unit is 100,000 grid steps.
        const int Unit = 100_000;
        using FileStream file = File.OpenRead(CorpusPath(name));
        LayoutDocument layout = SvgReader.Read(
            file, name, new DrawingOptions { GridPicometres = 1000, ChordErrorNanometres = 100 }, new DiagnosticSink());
        FlatLayout flat = FlattenPass.Run(layout, new FlattenOptions { ChordErrorNanometres = 100 }, new DiagnosticSink());
        var all = new ContourSetBuilder();
        foreach (FlatLayer group in flat.Groups)
        {
            all.AddAll(group.Area);
        }

        ContourSet rings = all.ToContourSet();
        for (int i = 0; i < 16; i++)
        {
            int left = i % 4 * 250 * Unit;
            int top = (1000 - (i / 4 * 250)) * Unit;
            ContourSet square = ContourSet.FromRing(
                new(left, top - (250 * Unit)), new(left + (250 * Unit), top - (250 * Unit)), new(left + (250 * Unit), top), new(left, top));
            ContourSet part = RegionBoolean.Compute(rings, square, BooleanOperation.Intersection);
            double area = Area(part) / ((double)Unit * Unit);
            Assert.True(
                Math.Abs(area - expected[i]) <= AbsoluteError + (RelativeError * expected[i]),
                $"{name}, row {i / 4}, column {i % 4}: {area}, librsvg {expected[i]}");
        }
    }

    private static double Area(ContourSet rings)
    {
        Int128 doubled = 0;
        for (int i = 0; i < rings.Count; i++)
        {
            GridPoint last = rings[i][^1];
            foreach (GridPoint point in rings[i])
            {
                doubled += ((long)last.X * point.Y) - ((long)point.X * last.Y);
                last = point;
            }
        }

        return (double)doubled / 2;
    }

    private static string CorpusPath(string name)
    {
        string folder = AppContext.BaseDirectory;
        while (!Directory.Exists(Path.Combine(folder, "tests", "Corpus", "Svg")))
        {
            folder = Path.GetDirectoryName(folder) ?? throw new DirectoryNotFoundException("tests/Corpus/Svg");
        }

        return Path.Combine(folder, "tests", "Corpus", "Svg", name);
    }
}
