using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Limits;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction.Compare;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Prediction.Compare;

public sealed class DifferencePictureTests
{
    private const int Femto = 1_000_000;
    private static readonly PictureOptions Options = new() { Title = "a | b" };

    private static CollectedDocument<StrokesHeader, Stroke> Strokes(params ReadOnlySpan<Stroke> strokes)
    {
        var document = new CollectedDocument<StrokesHeader, Stroke>();
        document.Begin(new StrokesHeader(["a"]));
        document.Write(strokes);
        document.End();
        return document;
    }

    // Rows 10 nm apart fill 1 µm x 1 µm, 1e6 zC = 1 fC for each point.
    private static Stroke[] Square(int left, long charge) =>
        [.. Enumerable.Range(0, 101).Select(row => Stroke.Line(0, left * (long)Femto, row * 10L * Femto, (left + 1000L) * Femto, row * 10L * Femto, 101, 101 * charge))];

    private static byte TintAt(Scene scene, int map, double x, double y) => scene.Maps[map].Tints.Span[
        ((int)scene.Frame.PixelY(y) - scene.Frame.PlotTop) * scene.Maps[map].Columns + (int)scene.Frame.PixelX(x) - PictureFrame.PlotLeft];

    [Fact]
    public void The_same_exposure_in_another_order_shows_no_difference()
    {
        Stroke[] square = Square(0, 1_000_000);
        Scene scene = ExposureDifferencePicture.Compose(Strokes(square), Strokes([.. square.Reverse()]), Options);
        Assert.Equal("The exposure is the same everywhere: only order, jumps or figures can differ.", Assert.Single(scene.Notes));
        Assert.Null(scene.TintScale);
        Assert.True(TintAt(scene, 0, 500, 500) > 0);
        Assert.Equal(0, TintAt(scene, 1, 500, 500));
        Assert.Equal("a | b · difference", scene.Title);
    }

    [Fact]
    public void What_only_one_exposes_and_what_one_exposes_more_have_the_colour_of_that_one()
    {
        // Points beat with the pixels by some tenths. The first two squares are in both, the second one twice as strongly in the first; the others are in one each.
        Scene scene = ExposureDifferencePicture.Compose(
            Strokes([.. Square(0, 1000), .. Square(2000, 2000), .. Square(4000, 1000)]),
            Strokes([.. Square(0, 1000), .. Square(2000, 1000), .. Square(6000, 1000)]),
            Options);
        Assert.Equal((0, 0), (TintAt(scene, 1, 500, 500), TintAt(scene, 2, 500, 500)));
        Assert.InRange(TintAt(scene, 0, 500, 500), 1, 5);
        Assert.InRange(TintAt(scene, 1, 2500, 500), 9, 12);
        Assert.Equal(0, TintAt(scene, 2, 2500, 500));
        Assert.InRange(TintAt(scene, 1, 4500, 500), 9, 12);
        Assert.Equal(0, TintAt(scene, 2, 4500, 500));
        Assert.Equal(0, TintAt(scene, 1, 6500, 500));
        Assert.InRange(TintAt(scene, 2, 6500, 500), 9, 12);
        Assert.Equal(["both", "more in the first", "more in the second"], scene.Legend.Select(entry => entry.Text));

        // 1000 zC on 10 nm x 10 nm are 1e-18 C on 1e-16 m², 0.01 C/m², 1 µC/cm².
        Assert.Equal("difference in dose", scene.TintScale!.Title);
        Assert.True(NumberText.TryParseReal(scene.TintScale.High.Replace(" µC/cm²", "", StringComparison.Ordinal), out double high));
        Assert.InRange(high, 0.95, 1.35);
    }

    [Fact]
    public void Records_are_compared_by_the_time_with_the_beam_on()
    {
        RecordsHeader header = new("writer", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e7, 1, 65_535, 10, 10, false);
        CollectedDocument<RecordsHeader, DeflectionRecord> first = Records(DeflectionRecord.Line(32_768, 32_768, 32_867, 32_768, 100, 1000));
        CollectedDocument<RecordsHeader, DeflectionRecord> second = Records(DeflectionRecord.Line(32_768, 32_868, 32_867, 32_868, 100, 1000));
        Scene scene = ExposureDifferencePicture.Compose(first, second, Options);
        Assert.Equal("beam on for 100 µs | 100 µs · 0.99 × 1 µm", scene.Facts);
        Assert.Equal("difference per µm²", scene.TintScale!.Title);
        Assert.Contains(scene.Maps[1].Tints.ToArray(), tint => tint == 12);
        Assert.Contains(scene.Maps[2].Tints.ToArray(), tint => tint == 12);

        CollectedDocument<RecordsHeader, DeflectionRecord> Records(params ReadOnlySpan<DeflectionRecord> records)
        {
            var document = new CollectedDocument<RecordsHeader, DeflectionRecord>();
            document.Begin(header);
            document.Write(records);
            document.End();
            return document;
        }
    }

    [Fact]
    public void Areas_lines_and_dots_of_layouts_are_told_apart()
    {
        // The second is the first moved by half its width, on a finer grid; one line turned round, another one and a dot in one only.
        FlatLayout first = new(1000, ["a"], [new FlatLayer(0, DoseFactor.One, Square(0, 10), [Line(0, 0, 5, 5), Line(0, 1, 5, 6)], [new GridPoint(3, 3)])]);
        FlatLayout second = new(100, ["b"], [new FlatLayer(0, DoseFactor.One, Square(50, 100), [Line(50, 50, 0, 0)], [new GridPoint(30, 30), new GridPoint(40, 40)])]);
        Scene scene = AreaDifferencePicture.Compose(first, second, Options, WorkLimits.Usual, CancellationToken.None);
        Assert.Equal(["both (3)", "only the first (2)", "only the second (2)"], scene.Legend.Select(entry => entry.Text));

        static ContourSet Square(int left, int side) => ContourSet.FromRing(
            new GridPoint(left, 0), new GridPoint(left + side, 0), new GridPoint(left + side, side), new GridPoint(left, side));

        static ImmutableArray<GridPoint> Line(int x0, int y0, int x1, int y1) => [new GridPoint(x0, y0), new GridPoint(x1, y1)];
    }
}
