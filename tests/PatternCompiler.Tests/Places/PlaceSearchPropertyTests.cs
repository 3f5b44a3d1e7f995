using System.Globalization;
using System.Text;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Geometry;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Places;
using PatternCompiler.Tests.Geometry;

namespace PatternCompiler.Tests.Places;

/// <summary>
/// Random shapes, two cells deep, in arrays that are turned, mirrored and scaled: what the search names at a point inside a figure
/// are just those statements that cover the point when each is flattened alone.
/// </summary>
public sealed class PlaceSearchPropertyTests
{
    private const int FirstShape = 5;

    // Rounding to the grid moves an edge by a step for each placement, and chords lie a step beside their curve.
    private const int Slack = 4;

    private static readonly Gen<string> Shape = Gen.OneOf(
        Gen.Select(Gen.Int[-40, 40], Gen.Int[-40, 40], Gen.Int[1, 60], Gen.Int[1, 60], (x, y, w, h) => Text($"rect on a at ({x}, {y}) size ({w}, {h})")),
        Gen.Select(Gen.Int[-40, 40], Gen.Int[-40, 40], Gen.Int[1, 40], (x, y, r) => Text($"circle on a at ({x}, {y}) radius {r}")),
        Gen.Select(Gen.Int[-40, 40], Gen.Int[-40, 40], Gen.Int[1, 20], Gen.Int[1, 20], (x, y, r, w) => Text($"ring on a at ({x}, {y}) inner {r} outer {r + w}")),
        Gen.Select(Points(3, 7), OneOf("nonzero", "evenodd"), (points, rule) => $"polygon on a rule {rule} {points}"),
        Gen.Select(Points(2, 4), Gen.Int[1, 12], OneOf("flat", "square", "round"), (points, width, ends) => Text($"path on a width {width} ends {ends} {points}")));

    private static readonly Gen<string> Orientation = Gen.Select(
        Gen.OneOf(OneOf(0.0, 90, 180, -90), Gen.Double[-180, 180]),
        OneOf("", "mirror up-down", "mirror left-right"),
        OneOf(1.0, 1.5, 0.75),
        (angle, mirror, scale) => Text($"rotate {Math.Round(angle, 3)} {mirror} scale {scale}"));

    private static readonly Gen<string> Placement = Gen.Select(
        Gen.Int[-90, 90], Gen.Int[-90, 90], Orientation, Gen.Int[1, 3], Gen.Int[1, 3], Gen.Select(Gen.Int[-150, 150], Gen.Int[-150, 150], Gen.Int[-150, 150], Gen.Int[-150, 150]),
        (x, y, turned, columns, rows, step) => Text(
            $"at ({x}, {y}) {turned} columns {columns} column-step ({step.Item1}, {step.Item2}) rows {rows} row-step ({step.Item3}, {step.Item4})"));

    [Fact]
    public void What_is_named_is_what_covers_the_point() =>
        Gen.Select(Shape.Array[1, 5], Placement, Placement, Gen.Int[0, 10_000]).Sample(
            (shapes, inner, outer, seed) => Check(shapes, inner, outer, seed), iter: Iterations.Usually(150));

    private static void Check(string[] shapes, string inner, string outer, int seed)
    {
        LayoutDocument layout = Read(shapes, inner, outer);
        FlatLayout[] alone = [.. shapes.Select((_, k) => Flatten(Read([.. shapes.Select((shape, i) => i == k ? shape : "# left out")], inner, outer)))];
        FiguresDocument figures = FracturePass.Run(Flatten(layout), new FractureOptions(), new DiagnosticSink(), default);
        var search = new PlaceSearch(new DrawnPattern(layout, LayerOrigins.None));
        double nanometres = figures.Header.GridPicometres / 1000.0;
        foreach (Figure figure in figures.Figures.Where((_, i) => (i + seed) % 17 == 0).Take(12))
        {
            (double x, double y) = FigureCorners.InnerPoint(figure);
            int[] named = Named(x, y);

            // A sliver thinner than a grid step goes with all its edges when areas are joined: what is named there only is not judged.
            int[] around = [.. new[] { (-Slack, 0), (Slack, 0), (0, -Slack), (0, Slack) }.Select(way => Named(x + way.Item1, y + way.Item2)).Aggregate(named.AsEnumerable(), (all, more) => all.Intersect(more))];
            (int px, int py) = ((int)Math.Round(x), (int)Math.Round(y));
            for (int k = 0; k < shapes.Length; k++)
            {
                bool? covers = Covers(alone[k], px, py);
                Assert.False(covers == true && !named.Contains(k), $"'{shapes[k]}' covers ({px}, {py}) and is not named");
                Assert.False(covers == false && around.Contains(k) && named.Length > 1, $"'{shapes[k]}' does not cover ({px}, {py}) and is named");
            }

            Assert.NotEmpty(named);

            int[] Named(double atX, double atY) =>
                [.. search.At(atX * nanometres, atY * nanometres, "a", figure.Kind).Places.Select(place => place.Place.Line - FirstShape).Distinct().Order()];
        }
    }

    /// <summary>Whether the point is covered; null so near an edge that rounding decides.</summary>
    private static bool? Covers(FlatLayout layout, int x, int y)
    {
        foreach (FlatLayer group in layout.Groups)
        {
            for (int ring = 0; ring < group.Area.Count; ring++)
            {
                ReadOnlySpan<GridPoint> points = group.Area[ring];
                for (int i = 0; i < points.Length; i++)
                {
                    if (Distance(x, y, points[i], points[(i + 1) % points.Length]) <= Slack)
                    {
                        return null;
                    }
                }
            }
        }

        return layout.Groups.Any(group => RegionChecker.Winding(group.Area, (2L * x) + 1, (2L * y) + 1) > 0);
    }

    private static double Distance(double x, double y, GridPoint a, GridPoint b)
    {
        (double dx, double dy) = ((double)b.X - a.X, (double)b.Y - a.Y);
        double squared = (dx * dx) + (dy * dy);
        double part = squared == 0 ? 0 : Math.Clamp((((x - a.X) * dx) + ((y - a.Y) * dy)) / squared, 0, 1);
        return Math.Sqrt(Math.Pow(x - a.X - (part * dx), 2) + Math.Pow(y - a.Y - (part * dy), 2));
    }

    private static LayoutDocument Read(string[] shapes, string inner, string outer)
    {
        string text = $"layout 1\nunit nm\nlayer a\ncell shapes\n{string.Join('\n', shapes)}\nend\ncell block\narray shapes {inner}\nend\narray block {outer}\n";
        return LayoutReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "a.layout", DrawingOptions.Default, new DiagnosticSink());
    }

    private static FlatLayout Flatten(LayoutDocument layout) => FlattenPass.Run(layout, StageOptions.Flatten(DefaultFiles.Job with { ChordErrorNanometres = 0.1 }), new DiagnosticSink(), default);

    private static Gen<string> Points(int least, int most) =>
        Gen.Select(Gen.Int[-50, 50], Gen.Int[-50, 50]).Array[least, most].Select(points => string.Join(' ', points.Select(p => Text($"({p.Item1}, {p.Item2})"))));

    private static Gen<T> OneOf<T>(params T[] values) => Gen.Int[0, values.Length - 1].Select(i => values[i]);

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
