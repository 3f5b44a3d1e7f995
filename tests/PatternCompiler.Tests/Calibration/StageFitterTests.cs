using System.Globalization;
using System.Text;
using CsCheck;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.StageFrame;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Calibration;

/// <summary>Stages that are known, readings of them, and what the fits make of these.</summary>
public sealed class StageFitterTests
{
    private static readonly (double X, double Y)[] Corners = [(-40_000, -40_000), (40_000, -40_000), (40_000, 40_000), (-40_000, 40_000), (0, 0), (10_000, -35_000), (-38_000, 5_000)];

    private static readonly Gen<Stage> Stages = Gen.Select(Gen.Double[-44, 44], Gen.Double[0.9, 1.1], Gen.Double[0.9, 1.1], Gen.Double[-0.05, 0.05], Gen.Bool, Gen.Bool, Gen.Double[-2e7, 2e7]).Select(
        (turn, scaleX, scaleY, skew, invertX, invertY, origin) => new Stage(1, 1)
        {
            Frame = LayerPlacement.Of(0, 0, turn, scaleX, scaleY, skew), InvertX = invertX, InvertY = invertY, OriginNanometres = (origin, 0.4 * origin),
        });

    [Fact]
    public void A_stage_comes_back_from_exact_readings_of_one_mark_with_its_inverted_axes() => Stages.Sample(
        stage =>
        {
            StageFit fit = StageFitter.Fit([.. Corners.Select((seen, i) => Seen(stage, $"{i}", seen))], null, new DiagnosticSink());
            Assert.Equal((stage.InvertX, stage.InvertY), (fit.Stage.InvertX, fit.Stage.InvertY));
            Assert.Equal(stage.OriginNanometres.X, fit.Stage.OriginNanometres.X, 1e-3);
            Assert.Equal(stage.OriginNanometres.Y, fit.Stage.OriginNanometres.Y, 1e-3);
            Assert.All(stage.Frame!.Numbers.Zip(fit.Stage.Frame!.Numbers), pair => Assert.Equal(pair.First, pair.Second, 1e-9));
        },
        iter: 200);

    /// <summary>What the text says is what machine and job file read.</summary>
    [Fact]
    public void The_fragment_is_read_as_the_stage_that_was_fitted() => Stages.Sample(
        stage =>
        {
            StageReading[] readings = [.. Corners.Select((seen, i) => Seen(stage, $"{i}", seen)), Seen(stage, "a", (0, 0), 3000, 2000), Seen(stage, "b", (20_000, 0), 3000, 2000)];
            string fragment = StageText.Of(StageFitter.Fit(readings, null, new DiagnosticSink())).Replace("stage:\n", "stage:\n  settle: 1 s\n", StringComparison.Ordinal);
            Stage read = MachineFile.Parse(DefaultFiles.MachineText + "\n" + fragment, "machine.yaml").Stage!;
            (double X, double Y) place = (4e6, -3e6);
            (double exactX, double exactY) = stage.ReadingAt(place.X, place.Y);
            Assert.Equal(exactX, read.ReadingAt(place.X, place.Y).X, 0.2);
            Assert.Equal(exactY, read.ReadingAt(place.X, place.Y).Y, 0.2);
            Assert.Equal((3000, 2000), (Math.Round(read.BacklashNanometres.X, 1), Math.Round(read.BacklashNanometres.Y, 1)));
            Assert.Equal((9000, 6000), read.ApproachNanometres);
        },
        iter: 50);

    [Fact]
    public void Readings_from_above_on_the_whole_make_an_approach_from_above()
    {
        var stage = new Stage(1, 1) { Frame = LayerPlacement.Of(0, 0, 1, 1, 1, 0) };
        StageFit fit = StageFitter.Fit([.. Corners.Select((seen, i) => Seen(stage, $"{i}", seen, 3000, 0)), Seen(stage, "z", (5000, 5000))], null, new DiagnosticSink());
        Assert.True(fit.IsFromAboveX && !fit.IsFromAboveY);
        Assert.Equal(3000, fit.BacklashX!.Value, 1e-3);
        Assert.Null(fit.BacklashY);

        // Where the stage comes down, it reads so much less over the same place.
        Assert.Equal(-3000, fit.Stage.OriginNanometres.X, 1e-3);
    }

    [Fact]
    public void Two_readings_tell_rotation_and_scale_and_nothing_is_to_spare()
    {
        var stage = new Stage(1, 1) { Frame = LayerPlacement.Of(0, 0, -2, 1.01, 1.01, 0) };
        var sink = new DiagnosticSink();
        StageFit fit = StageFitter.Fit([Seen(stage, "a", Corners[0]), Seen(stage, "b", Corners[1])], null, sink);
        Assert.Equal(AlignmentModel.Similarity, fit.Frame.Model);
        Assert.Equal(-2, fit.Stage.Frame!.RotationDegrees, 1e-9);
        Assert.Equal("2 marks leave none to spare, so the quality of the alignment is unknown", Assert.Single(sink.Collected).Message);
    }

    [Fact]
    public void A_reading_that_no_other_bears_out_is_left_out_by_name()
    {
        var stage = new Stage(1, 1) { Frame = LayerPlacement.Of(0, 0, 1, 1.001, 0.999, 0.002) };
        StageReading[] readings = [.. Corners.Select((seen, i) => Seen(stage, $"{i}", seen) with { ErrorX = 15, ErrorY = 15 })];
        readings[3] = readings[3] with { ReadingX = readings[3].ReadingX + 1000 };
        var sink = new DiagnosticSink();
        StageFit fit = StageFitter.Fit(readings, null, sink);
        Assert.StartsWith("mark '3' is left out", Assert.Single(sink.Collected).Message, StringComparison.Ordinal);
        Assert.Equal(1, fit.Stage.Frame!.RotationDegrees, 1e-6);
    }

    [Fact]
    public void A_backlash_below_zero_is_a_side_that_was_written_wrongly()
    {
        var stage = new Stage(1, 1);
        StageReading[] readings = [.. Corners.Select((seen, i) => Seen(stage, $"{i}", seen)), Seen(stage, "a", (0, 0), -3000, 0), Seen(stage, "b", (9000, 0), -3010, 0), Seen(stage, "c", (9000, 9000), -2990, 0)];
        Assert.Contains("'from x' says the side that the stage came from", Assert.Throws<CompileException>(() => StageFitter.Fit(readings, null, new DiagnosticSink())).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_sample_comes_back_through_the_stage_whatever_side_it_was_read_from() => Gen.Select(Stages, Gen.Double[-180, 180], Gen.Double[-1e6, 1e6]).Sample(
        (stage, turn, offset) =>
        {
            stage = stage with { BacklashNanometres = (3000, 1000), ApproachNanometres = (10_000, -10_000) };
            LayerPlacement sample = LayerPlacement.Of(offset, -offset, turn, 1.001, 1.001, 0);
            (double X, double Y)[] places = [(0, 0), (5e6, 0), (5e6, 4e6), (-1e6, 3e6)];
            StageReading[] readings =
            [
                .. places.Select((place, i) =>
                {
                    (double x, double y) = sample.Land(place.X, place.Y);
                    (double readX, double readY) = stage.ReadingAt(x - 700, y + 300);
                    bool isOdd = i % 2 == 1;
                    return new StageReading($"{i}", place.X, place.Y, 700, -300, readX - (isOdd ? 3000 : 0), readY + (isOdd ? 1000 : 0), double.NaN, double.NaN, isOdd, !isOdd, 1e7 + (0.001 * place.X) - (0.002 * place.Y));
                }),
            ];
            SampleFit fit = SampleFitter.Fit(readings, stage, AlignmentModel.Similarity, new DiagnosticSink());
            LayerPlacement found = fit.Placement.Placement;
            Assert.All(new[] { (sample.XX, found.XX), (sample.XY, found.XY), (sample.YX, found.YX), (sample.YY, found.YY) }, pair => Assert.Equal(pair.Item1, pair.Item2, 2e-9));
            Assert.Equal(sample.OffsetXNanometres, found.OffsetXNanometres, 2e-2);
            Assert.Equal(sample.OffsetYNanometres, found.OffsetYNanometres, 2e-2);
            Assert.Equal(1e7, fit.Focus!.Plane.AtOriginNanometres, 1e-2);
            Assert.Equal(0.001, fit.Focus.Plane.SlopeX, 1e-9);
            Assert.Equal(-0.002, fit.Focus.Plane.SlopeY, 1e-9);
            Job job = JobFile.Parse("job: a\nfields: {size: 95 um, margin: 5 um}\n" + StageText.Of(fit), "job.yaml");
            Assert.Equal(sample.OffsetXNanometres, job.Alignment!.Layers.Sample!.OffsetXNanometres, 0.2);
            Assert.Equal(1e7 + 5000, job.Alignment.Layers.Focus!.At(5e6, 0), 200.0);
        },
        iter: 50);

    [Theory]
    [InlineData("mark, reading x [um], reading y [um]\na, 1, 2\n", "the table says neither where marks lie ('place x', 'place y') nor where in the beam's field they were seen")]
    [InlineData("mark, seen x [um], seen y [um], reading x [um], reading y [um]\na, 1, 2, , 4\n", "'reading x' is left empty")]
    [InlineData("mark, seen x [um], seen y [um], reading x [um], reading y [um], from x\na, 1, 2, 3, 4, left\n", "'from x' is 'left'; write 'below' where the stage came up to the reading, 'above' where it came down")]
    [InlineData("mark, seen x [um], seen y [um], reading x [um], reading y [um]\na, 1, 2, 3, 4\n", "1 reading comes from below in x and from below in y, and a similarity takes 2")]
    [InlineData("mark, seen x [um], seen y [um], reading x [um], reading y [um]\na, 1, 2, 1e300, 4\nb, 2, 3, 4, -1e300\nc, 7, 3, 4, 5\n", "")]
    [InlineData("mark, seen x [um], seen y [um], reading x [um], reading y [um]\na, 0, 0, 0, 0\nb, 10, 0, 10, 0\nc, 20, 0, 20, 0\n", "the measurements lie so that several answers fit equally well")]
    [InlineData("mark, seen x [um], seen y [um], reading x [mm], reading y [mm]\na, 0, 0, 0, 0\nb, 10, 0, 10, 0\nc, 0, 20, 0, 20\n", "the marks were found 0.001 times as far apart")]
    [InlineData("mark, seen x [um], seen y [um], reading x [um], reading y [um], uncertainty [nm]\na, 0, 0, 0, 0, 0\n", "the uncertainty of mark 'a' must be above zero")]
    public void What_cannot_be_meant_is_one_error(string text, string fault) =>
        Assert.Contains(fault, Assert.Throws<CompileException>(() => StageFitter.Fit(StageReadings.Of(Table(text)), null, new DiagnosticSink())).Message, StringComparison.Ordinal);

    [Fact]
    public void Two_marks_in_focus_are_no_plane()
    {
        IReadOnlyList<StageReading> readings = StageReadings.Of(Table("mark, place x [um], place y [um], reading x [um], reading y [um], focus [mm]\na, 0, 0, 0, 0, 10\nb, 100, 0, -100, 0, 10\nc, 0, 100, 0, -100,\n"));
        Assert.Contains("2 marks were brought into focus, and a plane takes 3", Assert.Throws<CompileException>(() => SampleFitter.Fit(readings, new Stage(1, 1), null, new DiagnosticSink())).Message, StringComparison.Ordinal);
    }

    /// <summary>A mark at (5, -3) um that is seen at (2, 7) um of the field: the beam's own place is (3, -10) um.</summary>
    [Fact]
    public void What_is_under_the_beam_is_the_marks_place_less_where_it_is_seen() =>
        Assert.Equal((3000, -10_000), new StageReading("m", 5000, -3000, 2000, 7000, 1, 2, 0, 0, false, false, 0).Under);

    /// <summary>Marks whose places are known, seen anywhere in the field, tell frame, origin and both backlashes.</summary>
    [Fact]
    public void A_stage_comes_back_from_marks_at_known_places() => Gen.Select(Stages, Gen.Bool).Sample(
        (stage, isAbove) =>
        {
            (double X, double Y)[] places = [(0, 0), (5e5, 1e4), (-2e4, 3e5), (4e5, 3.5e5), (-3e5, -1e5), (1e5, -4e5), (2e5, 1e5), (-1e5, 2e5)];
            StageReading[] readings =
            [
                .. places.Select((place, i) =>
                {
                    (double seenX, double seenY) = Corners[i % Corners.Length];
                    (double x, double y) = stage.ReadingAt(place.X - seenX, place.Y - seenY);
                    bool isOtherX = i >= 6, isOtherY = i == 7;
                    return new StageReading(
                        $"{i}", place.X, place.Y, seenX, seenY, x - (isOtherX != isAbove ? 3000 : 0), y - (isOtherY != isAbove ? 1700 : 0), double.NaN, double.NaN, isOtherX != isAbove, isOtherY != isAbove, double.NaN);
                }),
            ];
            StageFit fit = StageFitter.Fit(readings, null, new DiagnosticSink());
            Assert.All(stage.Frame!.Numbers.Zip(fit.Stage.Frame!.Numbers), pair => Assert.Equal(pair.First, pair.Second, 1e-9));
            Assert.Equal(stage.OriginNanometres.X - (isAbove ? 3000 : 0), fit.Stage.OriginNanometres.X, 1e-2);
            Assert.Equal(stage.OriginNanometres.Y - (isAbove ? 1700 : 0), fit.Stage.OriginNanometres.Y, 1e-2);
            Assert.Equal(3000, fit.BacklashX!.Value, 1e-2);
            Assert.Equal(1700, fit.BacklashY!.Value, 1e-2);
        },
        iter: 50);

    // One mark at the pattern's origin, seen so from the field's middle: what is under the beam lies as far on the other side.
    private static StageReading Seen(Stage stage, string name, (double X, double Y) seen, double shortX = 0, double shortY = 0)
    {
        (double x, double y) = stage.ReadingAt(-seen.X, -seen.Y);
        return new StageReading(name, 0, 0, seen.X, seen.Y, x - shortX, y - shortY, double.NaN, double.NaN, shortX != 0, shortY != 0, double.NaN);
    }

    private static MeasurementTable Table(string text) =>
        MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text.ToString(CultureInfo.InvariantCulture))), "table", [.. StageReadings.WordColumns]);
}
