using System.Globalization;
using System.Text;
using PatternCompiler.BackEnds.Drawing;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Svg;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Tests;
using SkiaSharp;

namespace PatternCompiler.Oracles.FrontEnds;

/// <summary>
/// What librsvg draws (Debian package librsvg2-bin, an independent implementation) covers what we expose: the area of a
/// drawing against the sum of its pixels' opacity.
/// </summary>
public sealed class SvgAgainstLibrsvgTests
{
    private const int Pixels = 1500;

    // Random shapes side by side in the cells of a page, with random styles and transforms: librsvg's area and ours, cell by cell.
    [LibrsvgFact]
    public void Random_shapes_cover_what_librsvg_draws()
    {
        const int Cells = 6;
        for (int seed = 1; seed <= Iterations.Usually(3); seed++)
        {
            string svg = RandomPage(new Random(seed), Cells);
            double[,] drawn = Draw(svg, Cells);
            ContourSet ours = Area(SvgReader.Read(Bytes(svg), "a.svg", new DrawingOptions { ChordErrorNanometres = 20 }, new DiagnosticSink()));
            for (int row = 0; row < Cells; row++)
            {
                for (int column = 0; column < Cells; column++)
                {
                    // A page of 600 user units on 0.6 mm: a unit is a micrometre, 10,000 grid steps.
                    double expected = drawn[row, column] * (600.0 / Pixels) * (600.0 / Pixels);
                    double found = Within(ours, column * 100, 600 - ((row + 1) * 100), 100);

                    // Opacity has 256 levels; along an edge it is off by a fraction of one.
                    Assert.True(Math.Abs(found - expected) <= 1 + (3e-3 * expected), $"seed {seed}, row {row}, column {column}: {found}, librsvg {expected}");
                }
            }
        }
    }

    // The example's merged result, written as SVG, as a browser would show it.
    [LibrsvgFact]
    public void The_example_written_as_svg_shows_its_area()
    {
        string path = OutsidePrograms.Corpus("..", "..", "examples", "humidity-sensor", "humidity-sensor.dxf");
        using FileStream file = File.OpenRead(path);
        LayoutDocument layout = DrawingReader.Read(file, path, DrawingOptions.Default, new());
        using var svg = new MemoryStream();
        DrawingWriter.Write(layout, DrawingFormat.Svg, svg, DrawingWriteOptions.Default, new DiagnosticSink());
        string text = Encoding.UTF8.GetString(svg.ToArray());
        LayoutExtent extent = LayoutExtent.Of(layout)!.Value;
        double size = Math.Max(extent.Width, extent.Height) * 1.02e-4;
        double drawn = Draw(text, 1)[0, 0] * (size / Pixels) * (size / Pixels);
        ContourSet all = Area(layout);
        double found = Enumerable.Range(0, all.Count).Sum(i => (double)ExactArea.Twice(all[i])) / 2e8;
        Assert.Equal(drawn, found, 3e-3 * found);
    }

    private static string RandomPage(Random random, int cells)
    {
        var page = new StringBuilder("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"0.6mm\" height=\"0.6mm\" viewBox=\"0 0 600 600\">\n");
        for (int row = 0; row < cells; row++)
        {
            for (int column = 0; column < cells; column++)
            {
                page.Append(CultureInfo.InvariantCulture, $"<g transform=\"translate({(column * 100) + 50} {(row * 100) + 50})\">");
                page.Append(CultureInfo.InvariantCulture, $"<g transform=\"rotate({random.Next(360)}) skewX({random.Next(-20, 20)}) scale({0.5 + (0.3 * random.NextDouble())} {0.5 + (0.3 * random.NextDouble())})\">");
                page.Append(Shape(random)).Append("</g></g>\n");
            }
        }

        return page.Append("</svg>\n").ToString();
    }

    private static string Shape(Random random)
    {
        string N() => (random.Next(-300, 300) / 10.0).ToString(CultureInfo.InvariantCulture);
        string Size() => (random.Next(50, 300) / 10.0).ToString(CultureInfo.InvariantCulture);
        string Style(bool isStroked) => isStroked
            ? $"fill=\"none\" stroke=\"black\" stroke-width=\"{random.Next(2, 7)}\" stroke-linejoin=\"{Pick(random, "miter", "round", "bevel")}\" stroke-linecap=\"{Pick(random, "butt", "round", "square")}\" stroke-miterlimit=\"{random.Next(1, 5)}\""
            : $"fill-rule=\"{Pick(random, "nonzero", "evenodd")}\"";
        bool isStroked = random.Next(3) == 0;
        return random.Next(7) switch
        {
            0 => $"<path {Style(isStroked)} d=\"M{N()} {N()}L{N()},{N()} {N()} {N()}h{N()}v{N()}z\"/>",
            1 => $"<path {Style(isStroked)} d=\"M{N()} {N()}C{N()} {N()} {N()} {N()} {N()} {N()}S{N()} {N()} {N()} {N()}\"/>",
            2 => $"<path {Style(isStroked)} d=\"M{N()} {N()}Q{N()} {N()} {N()} {N()}T{N()} {N()}\"/>",
            3 => $"<path {Style(isStroked)} d=\"M{N()} {N()}A{Size()} {Size()} {random.Next(180)} {random.Next(2)} {random.Next(2)} {N()} {N()}\"/>",
            4 => $"<rect {Style(isStroked)} x=\"{N()}\" y=\"{N()}\" width=\"{Size()}\" height=\"{Size()}\" rx=\"{random.Next(8)}\"/>",
            5 => $"<ellipse {Style(isStroked)} cx=\"{N()}\" cy=\"{N()}\" rx=\"{random.Next(3, 20)}\" ry=\"{random.Next(3, 20)}\"/>",
            _ => $"<polygon {Style(isStroked)} points=\"{N()},{N()} {N()},{N()} {N()},{N()} {N()},{N()} {N()},{N()}\"/>",
        };
    }

    private static string Pick(Random random, params string[] words) => words[random.Next(words.Length)];

    // Covered pixels of the page, divided into cells.
    private static double[,] Draw(string svg, int cells)
    {
        string name = Path.GetTempFileName();
        try
        {
            File.WriteAllText(name, svg);
            (int exitCode, _, string errors) = OutsidePrograms.Run("rsvg-convert", "-w", $"{Pixels}", "-h", $"{Pixels}", "-o", name + ".png", name);
            Assert.True(exitCode == 0, errors);
            using SKBitmap picture = SKBitmap.Decode(name + ".png");
            ReadOnlySpan<byte> bytes = picture.GetPixelSpan();
            var sums = new double[cells, cells];
            for (int y = 0; y < Pixels; y++)
            {
                for (int x = 0; x < Pixels; x++)
                {
                    // Opacity is the last of four bytes in either order of colours.
                    sums[y * cells / Pixels, x * cells / Pixels] += bytes[(y * picture.RowBytes) + (4 * x) + 3] / 255.0;
                }
            }

            return sums;
        }
        finally
        {
            File.Delete(name);
            File.Delete(name + ".png");
        }
    }

    private static ContourSet Area(LayoutDocument layout)
    {
        FlatLayout flat = FlattenPass.Run(layout, FlattenOptions.Default, new DiagnosticSink());
        var all = new ContourSetBuilder();
        foreach (FlatLayer group in flat.Groups)
        {
            all.AddAll(group.Area);
        }

        return RegionBoolean.Merge(all.ToContourSet(), FillRule.NonZero, 1, default);
    }

    private static double Within(ContourSet area, int left, int bottom, int size)
    {
        const int Unit = 10_000;
        (int x0, int y0, int x1, int y1) = (left * Unit, bottom * Unit, (left + size) * Unit, (bottom + size) * Unit);
        ContourSet part = RegionBoolean.Compute(area, ContourSet.FromRing(new(x0, y0), new(x1, y0), new(x1, y1), new(x0, y1)), BooleanOperation.Intersection);
        return Enumerable.Range(0, part.Count).Sum(i => (double)ExactArea.Twice(part[i])) / 2 / ((double)Unit * Unit);
    }

    private static MemoryStream Bytes(string text) => new(Encoding.UTF8.GetBytes(text));
}
