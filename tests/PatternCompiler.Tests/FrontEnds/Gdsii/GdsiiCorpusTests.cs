using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Gdsii;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Tests.FrontEnds.Gdsii;

/// <summary>
/// Streams written by gdspy, an independent library for the format (tests/Corpus/Gdsii), against the areas and the bounding
/// box that it works out itself.
/// </summary>
public sealed class GdsiiCorpusTests
{
    [Theory]
    [InlineData("gdspy-sensor")]
    [InlineData("gdspy-random")]
    public void Areas_are_those_of_the_library_that_wrote_it(string name)
    {
        LayoutDocument layout;
        using (FileStream file = File.OpenRead(PathOf(name + ".gds")))
        {
            layout = GdsiiReader.Read(file, name, DrawingOptions.Default, new DiagnosticSink(), default);
        }

        FlatLayout flat = FlattenPass.Run(layout, new FlattenOptions { ChordErrorNanometres = 0.05 }, new DiagnosticSink());
        var found = flat.Groups.ToDictionary(g => flat.LayerNames[g.Layer], g => AddedUp(g.Area));
        string[][] lines = [.. File.ReadAllLines(PathOf(name + ".expected.txt")).Select(l => l.Split(' '))];
        Assert.Equal(lines.Skip(1).Select(l => l[1]), found.Keys.Order(StringComparer.Ordinal));
        foreach (string[] line in lines.Skip(1))
        {
            // Turned copies are rounded to 0.1 nm, which moves an edge by half of that: less than 1e-5 of the areas here.
            double expected = Number(line[2]);
            Assert.Equal(expected, found[line[1]], 1e-5 * expected);
        }

        GridPoint[] points = [.. flat.Groups.SelectMany(g => g.Area.Points.ToArray())];
        double[] box = [points.Min(p => p.X), points.Min(p => p.Y), points.Max(p => p.X), points.Max(p => p.Y)];
        for (int i = 0; i < 4; i++)
        {
            // The writer rounds corners to its database unit, 1 nm, after it has worked out the box.
            Assert.Equal(Number(lines[0][1 + i]), box[i] * 1e-4, 0.51e-3);
        }
    }

    // Copies that lie over each other count each, as in the library: each ring is taken by itself.
    private static double AddedUp(ContourSet area) =>
        Enumerable.Range(0, area.Count).Sum(i => (double)ExactArea.Twice(area[i])) / 2e8;

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    private static string PathOf(string name)
    {
        string folder = AppContext.BaseDirectory;
        while (!Directory.Exists(Path.Combine(folder, "tests", "Corpus", "Gdsii")))
        {
            folder = Path.GetDirectoryName(folder) ?? throw new DirectoryNotFoundException("tests/Corpus/Gdsii");
        }

        return Path.Combine(folder, "tests", "Corpus", "Gdsii", name);
    }
}
