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
        iter: Iterations.Usually(200));

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
        iter: Iterations.Usually(50));

    /// <summary>Least squares with free offsets: what the fit leaves of places under the beam, weighted by the square of their errors, sums to nothing along each axis.</summary>
    [Fact]
    public void Readings_count_by_their_errors() => Stages.Sample(
        stage =>
        {
            StageReading[] readings =
            [
                .. Corners.Select((seen, i) => Seen(stage, $"{i}", seen)).Select((reading, i) => reading with
                {
                    ReadingX = reading.ReadingX + (i * 37 % 11 - 5) * 4, ReadingY = reading.ReadingY + (i * 29 % 13 - 6) * 3, ErrorX = 20 + (i * 10), ErrorY = 90 - (i * 8),
                }),
            ];
            foreach (AlignmentModel model in (AlignmentModel[])[AlignmentModel.Similarity, AlignmentModel.Affine])
            {
                var sink = new DiagnosticSink();
                StageFit fit = StageFitter.Fit(readings, model, sink);
                if (sink.Collected.Any(d => d.Message.Contains("left out", StringComparison.Ordinal)))
                {
                    continue;
                }

                (double X, double Y)[] left = [.. readings.Select(r => (At: fit.Stage.PlaceAt(r.ReadingX, r.ReadingY), r.Under)).Select(p => (p.At.X - p.Under.X, p.At.Y - p.Under.Y))];
                Assert.Equal(0, left.Zip(readings, (l, r) => l.X / (r.ErrorX * r.ErrorX)).Sum(), 1e-6);
                Assert.Equal(0, left.Zip(readings, (l, r) => l.Y / (r.ErrorY * r.ErrorY)).Sum(), 1e-6);
                Assert.True(left.Max(l => Math.Abs(l.X) + Math.Abs(l.Y)) > 1);
            }
        },
        iter: Iterations.Usually(50));

    [Fact]
    public void Readings_from_above_on_the_whole_make_an_approach_from_above()
    {
        var stage = new Stage(1, 1) { Frame = LayerPlacement.Of(0, 0, 1, 1, 1, 0) };
        StageFit fit = StageFitter.Fit([.. Corners.Select((seen, i) => Seen(stage, $"{i}", seen, 3000, 0)), Seen(stage, "z", (5000, 5000))], null, new DiagnosticSink());
        Assert.True(fit.IsFromAboveX && !fit.IsFromAboveY);
        Assert.Equal(3000, fit.BacklashX!.Value, 1e-3);
        Assert.Null(fit.BacklashY);

        // As many from above as from below are an approach from below.
        StageReading[] half = [.. Corners[..6].Select((seen, i) => Seen(stage, $"{i}", seen, i < 3 ? 500 : 0, i < 3 ? 700 : 0))];
        fit = StageFitter.Fit(half, null, new DiagnosticSink());
        Assert.False(fit.IsFromAboveX || fit.IsFromAboveY);
        Assert.Equal((500, 700), (Math.Round(fit.BacklashX!.Value, 3), Math.Round(fit.BacklashY!.Value, 3)));
        fit = StageFitter.Fit([.. Corners.Select((seen, i) => Seen(stage, $"{i}", seen, 3000, 0)), Seen(stage, "z", (5000, 5000))], null, new DiagnosticSink());

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
        iter: Iterations.Usually(50));

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
    public void Every_column_is_read_into_its_place()
    {
        IReadOnlyList<StageReading> readings = StageReadings.Of(Table(
            "from y, mark, place x [um], place y [nm], seen x [nm], seen y [um], reading x [mm], reading y [um], from x, uncertainty x [nm], uncertainty y [um], focus [mm]\n"
            + "above, a, 1, 2, 3, 4, 5, 6, below, 7, 0.8, 9\n"
            + "below, b, -1, -2, -3, -4, -5, -6, above, 70, 0.08,\n"
            + ", a, 0, 0, 0, 0, 0, 0, , 1, 1, 0\n"));
        Assert.Equal(
            [
                new("a 1", 1000, 2, 3, 4000, 5e6, 6000, 7, 800, false, true, 9e6),
                new("b", -1000, -2, -3, -4000, -5e6, -6000, 70, 80, true, false, double.NaN),
                new("a 2", 0, 0, 0, 0, 0, 0, 1, 1000, false, false, 0),
            ],
            readings.Select(reading => reading with
            {
                PlaceX = Math.Round(reading.PlaceX, 6), SeenY = Math.Round(reading.SeenY, 6), ReadingX = Math.Round(reading.ReadingX, 6), ReadingY = Math.Round(reading.ReadingY, 6),
                ErrorY = Math.Round(reading.ErrorY, 6), Focus = Math.Round(reading.Focus, 6),
            }));
        StageReading seen = Assert.Single(StageReadings.Of(Table("mark, seen x [nm], seen y [nm], reading x [nm], reading y [nm], uncertainty [nm]\nm, 3, 4, 5, 6, 7\n")));
        Assert.Equal(new StageReading("m", 0, 0, 3, 4, 5, 6, 7, 7, false, false, double.NaN), seen);
        StageReading placed = Assert.Single(StageReadings.Of(Table("mark, place x [nm], place y [nm], reading x [nm], reading y [nm]\nm, 3, 4, 5, 6\n")));
        Assert.Equal(new StageReading("m", 3, 4, 0, 0, 5, 6, double.NaN, double.NaN, false, false, double.NaN), placed);
    }

    /// <summary>A place along one axis alone is a column that was forgotten.</summary>
    [Theory]
    [InlineData("place x", "place y")]
    [InlineData("place y", "place x")]
    [InlineData("seen x", "seen y")]
    [InlineData("seen y", "seen x")]
    [InlineData("seen x [nm], seen y [nm], place x", "place y")]
    [InlineData("seen x [nm], seen y [nm], place y", "place x")]
    public void A_place_has_two_columns(string columns, string missing) => Assert.Contains(
        $"'{missing}'",
        Assert.Throws<CompileException>(() => StageReadings.Of(Table($"mark, reading x [nm], reading y [nm], {columns} [nm]\na, 1, 2{string.Concat(Enumerable.Repeat(", 3", columns.Split(',').Length))}\n"))).Diagnostic.Message,
        StringComparison.Ordinal);

    [Theory]
    [InlineData("place x [nm], place y [nm], reading x [nm], reading y [nm]\n1, 2, 3, 4\n", 0, "there is no column 'mark'")]
    [InlineData("mark, place x [nm], place y [nm], reading x [nm], reading y [nm], uncertainty x [nm]\na, 1, 2, 3, 4, 5\n", 0, "the uncertainty is stated along one axis alone")]
    [InlineData("mark, place x [nm], place y [nm], reading x [nm], reading y [nm], uncertainty y [nm]\na, 1, 2, 3, 4, 5\n", 0, "the uncertainty is stated along one axis alone")]
    [InlineData("mark, place x [nm], place y [nm], reading x [nm], reading y [nm], uncertainty x [nm], uncertainty y [nm]\na, 1, 2, 3, 4, 5, 6\nb, 1, 2, 3, 4, 5, 0\n", 2, "the uncertainty of mark 'b' must be above zero")]
    [InlineData("mark, place x [nm], place y [nm], reading x [nm], reading y [nm], uncertainty x [nm], uncertainty y [nm]\na, 1, 2, 3, 4, -1, 6\n", 1, "the uncertainty of mark 'a' must be above zero")]
    [InlineData("mark, place x [nm], place y [nm], reading x [nm], reading y [nm]\na, 1, 2, 3, 4\n, 1, 2, 3, 4\n", 2, "the mark has no name")]
    [InlineData("mark, place x [nm], place y [nm], reading x [nm], reading y [nm]\na, 1, 2, 3, 4\na, 1, 2, 3, 4\na 1, 1, 2, 3, 4\n", 3, "two readings would both be called 'a 1'")]
    [InlineData("mark, place x [nm], place y [nm], reading x [nm], reading y [nm], from y\na, 1, 2, 3, 4, above\nb, 1, 2, 3, 4, up\n", 2, "'from y' is 'up'; write 'below' where the stage came up to the reading, 'above' where it came down")]
    public void A_table_that_cannot_be_meant_is_refused_with_its_line(string text, int measurement, string fault)
    {
        Diagnostic diagnostic = Assert.Throws<CompileException>(() => StageReadings.Of(Table(text))).Diagnostic;
        Assert.StartsWith(fault, $"{diagnostic.Message}; {diagnostic.Fix}", StringComparison.Ordinal);
        Assert.Equal(measurement, (diagnostic.Measurement ?? -1) + 1);
    }

    [Fact]
    public void A_thousand_readings_are_read_and_one_more_is_refused()
    {
        string Rows(int count) => "mark, place x [nm], place y [nm], reading x [nm], reading y [nm]\n" + string.Concat(Enumerable.Range(0, count).Select(i => $"m{i}, {i}, 2, 3, 4\n"));
        Assert.Equal(1000, StageReadings.Of(Table(Rows(1000))).Count);
        Assert.Equal("the table has 1001 readings, more than 1000", Assert.Throws<CompileException>(() => StageReadings.Of(Table(Rows(1001)))).Diagnostic.Message);
    }

    /// <summary>Four marks about the origin, one of them 400 nm too high: the plane passes each 100 nm off, and half of the scatter's root is each number's error.</summary>
    [Fact]
    public void What_a_plane_of_focus_leaves_is_told()
    {
        (double X, double Y, double Focus)[] marks = [(1e6, 2e6, 5e6 + 30_000 - 80_000 + 200), (-1e6, 2e6, 5e6 - 30_000 - 80_000 - 200), (-1e6, -2e6, 5e6 - 30_000 + 80_000 + 200), (1e6, -2e6, 5e6 + 30_000 + 80_000 - 200)];
        var sink = new DiagnosticSink();
        FocusFit fit = FocusFit.Of([.. marks.Select((m, i) => new StageReading($"{i}", m.X, m.Y, 0, 0, 0, 0, double.NaN, double.NaN, false, false, m.Focus))], sink);
        Assert.Equal((4, 200.0), (fit.Marks, Math.Round(fit.RootMeanSquareNanometres, 6)));
        Assert.Equal((5e6, 0.03, -0.04), (Math.Round(fit.Plane.AtOriginNanometres, 3), Math.Round(fit.Plane.SlopeX, 9), Math.Round(fit.Plane.SlopeY, 9)));

        // One to spare: s² is the sum of squares, 4·200²; the design is orthogonal.
        Assert.Equal([200, 200 / 1e6, 200 / 2e6], fit.Parameters.Select(p => p.StandardError), (a, b) => Math.Abs(a / b - 1) < 1e-6);
        Assert.Equal(["focus at origin", "slope-x", "slope-y"], fit.Parameters.Select(p => p.Name));
        Assert.Equal([5e6, 0.03, -0.04], fit.Parameters.Select(p => Math.Round(p.Value, 9)));
        Assert.Empty(sink.Collected);
    }

    [Theory]
    [InlineData(0.1999, 0, true)]
    [InlineData(-0.1999, 0, true)]
    [InlineData(0, 0.1999, true)]
    [InlineData(0.2001, 0, false)]
    [InlineData(0, -0.2001, false)]
    [InlineData(-0.2001, 0.1, false)]
    public void A_plane_steeper_than_one_in_five_is_no_sample(double slopeX, double slopeY, bool isMeant)
    {
        (double X, double Y)[] places = [(0, 0), (3e6, 1e6), (-2e6, 4e6)];
        StageReading[] readings = [.. places.Select((p, i) => new StageReading($"{i}", p.X, p.Y, 0, 0, 0, 0, double.NaN, double.NaN, false, false, 7e6 + (slopeX * p.X) + (slopeY * p.Y)))];
        var sink = new DiagnosticSink();
        string? fault = (Record.Exception(() => FocusFit.Of(readings, sink)) as CompileException)?.Diagnostic.Message;
        Assert.Equal(isMeant ? null : "the marks in focus lie in a plane steeper than one in five", fault);
        Assert.Equal(
            ("3 marks in focus leave none to spare, so the quality of their plane is unknown", "bring 4 marks into focus at least"), (Assert.Single(sink.Collected).Message, sink.Collected.Single().Fix));
    }

    /// <summary>Least squares with free offsets: what the fit leaves, weighted by the square of each error, sums to nothing along each axis. The side that a straight way comes from is below.</summary>
    [Fact]
    public void Readings_of_a_sample_count_by_their_errors()
    {
        var stage = new Stage(1, 1) { Frame = LayerPlacement.Of(0, 0, 12, 1.01, 0.99, 0.01), InvertX = true, OriginNanometres = (2e6, -1e6), BacklashNanometres = (900, 500) };
        (double X, double Y)[] places = [(0, 0), (5e6, 0), (5e6, 4e6), (-1e6, 3e6), (2e6, -2e6), (-3e6, -1e6)];
        StageReading[] readings =
        [
            .. places.Select((place, i) =>
            {
                (double x, double y) = stage.ReadingAt(place.X - 700 + (i * 7 % 5 * 9), place.Y + 300 - (i * 5 % 7 * 8));
                bool isAboveX = i % 2 == 1, isAboveY = i % 3 == 1;
                return new StageReading($"{i}", place.X, place.Y, 700, -300, x - (isAboveX ? 900 : 0), y - (isAboveY ? 500 : 0), 20 + (i * 10), 90 - (i * 8), isAboveX, isAboveY, double.NaN);
            }),
        ];
        LayerPlacement found = SampleFitter.Fit(readings, stage, AlignmentModel.Affine, new DiagnosticSink()).Placement.Placement;
        (double X, double Y)[] left = [.. places.Select((place, i) => (At: found.Land(place.X, place.Y), Off: (X: i * 7 % 5 * 9.0, Y: i * 5 % 7 * -8.0), Place: place)).Select(p => (p.Place.X + p.Off.X - p.At.X, p.Place.Y + p.Off.Y - p.At.Y))];
        Assert.Equal(0, left.Zip(readings, (l, r) => l.X / (r.ErrorX * r.ErrorX)).Sum(), 1e-6);
        Assert.Equal(0, left.Zip(readings, (l, r) => l.Y / (r.ErrorY * r.ErrorY)).Sum(), 1e-6);
        Assert.True(left.Max(l => Math.Abs(l.X)) > 1 && left.Max(l => Math.Abs(l.Y)) > 1);
    }

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
        iter: Iterations.Usually(50));

    // One mark at the pattern's origin, seen so from the field's middle: what is under the beam lies as far on the other side.
    private static StageReading Seen(Stage stage, string name, (double X, double Y) seen, double shortX = 0, double shortY = 0)
    {
        (double x, double y) = stage.ReadingAt(-seen.X, -seen.Y);
        return new StageReading(name, 0, 0, seen.X, seen.Y, x - shortX, y - shortY, double.NaN, double.NaN, shortX != 0, shortY != 0, double.NaN);
    }

    private static MeasurementTable Table(string text) =>
        MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text.ToString(CultureInfo.InvariantCulture))), "table", [.. StageReadings.WordColumns]);
}
