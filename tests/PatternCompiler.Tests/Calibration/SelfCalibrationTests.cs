using System.Globalization;
using System.Text;
using CsCheck;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Field;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Tests.Calibration;

/// <summary>
/// Views of artefacts whose places nobody knows. The identities are those of M. R. Raugh, Precision Engineering 7 (1985) 3-13: turns and
/// shifts tell everything but offset, turn and scale; without a shift what has fourfold symmetry stays hidden, without a turn the linear part.
/// </summary>
public sealed class SelfCalibrationTests
{
    private const double HalfField = 50_000;
    private static readonly (string Name, double Degrees, double X, double Y)[] Poses =
        [("straight", 0, 100, -50), ("turned", 90.7, -2000, 1500), ("right", -0.4, 14_100, 300), ("up", 0.3, -200, 13_800)];

    // Offset and turn none, scale one, in the middle: what views do not tell.
    private static readonly FieldPolynomial Bent = new(
        3, HalfField, [0, HalfField + 120, 70, 200, -90, 40, 500, -60, 430, 20], [0, 70, HalfField - 120, 30, 80, -150, 15, 520, 45, 610]);

    [Fact]
    public void Views_without_noise_give_the_distortion_back()
    {
        FieldFit fit = SelfCalibration.Fit(Views(Poses, Bent), 3, HalfField, null);
        Assert.All(Bent.XNanometres.Zip(fit.Polynomial.XNanometres), pair => Assert.Equal(pair.First, pair.Second, 1e-4));
        Assert.All(Bent.YNanometres.Zip(fit.Polynomial.YNanometres), pair => Assert.Equal(pair.First, pair.Second, 1e-4));
        Assert.InRange(fit.RootMeanSquare, 0, 1e-5);
        Assert.Equal(Poses.Select(pose => pose.Degrees), fit.Poses!.Views.Select(view => view.TurnDegrees), (a, b) => Math.Abs(a - b) < 1e-6);
        Assert.Equal(13_800 - -50, fit.Poses.Views[3].Y - fit.Poses.Views[0].Y, 60.0);
        Assert.False(fit.Poses.ScaleIsKnown);
    }

    [Fact]
    public void Any_distortion_and_poses_come_back() =>
        Gen.Select(Gen.Double[-300, 300].Array[16], Gen.Double[-1, 1].Array[12], Gen.Int[0, 3]).Sample((numbers, poses, quarter) =>
        {
            FieldPolynomial bent = new(
                3, HalfField,
                [0, HalfField + numbers[0], numbers[1], .. numbers[2..9]],
                [0, numbers[1], HalfField - numbers[0], .. numbers[9..16]]);
            (string, double, double, double)[] turned =
            [
                ("a", 90 * quarter + poses[0], 300 * poses[1], 300 * poses[2]),
                ("b", 90 * (quarter + 1) + poses[3], 300 * poses[4], 300 * poses[5]),
                ("c", 90 * quarter + poses[6], 14_000 + 300 * poses[7], 300 * poses[8]),
                ("d", 90 * quarter + poses[9], 300 * poses[10], -14_000 + 300 * poses[11]),
            ];
            FieldFit fit = SelfCalibration.Fit(Views(turned, bent), 3, HalfField, null);
            foreach ((double x, double y) in ((double, double)[])[(0, 0), (40_000, 40_000), (-45_000, 10_000), (20_000, -48_000)])
            {
                Assert.Equal(bent.Land(x, y).X, fit.Polynomial.Land(x, y).X, 1e-3);
                Assert.Equal(bent.Land(x, y).Y, fit.Polynomial.Land(x, y).Y, 1e-3);
            }
        }, iter: Iterations.Usually(100));

    [Fact]
    public void A_known_length_tells_the_scale()
    {
        FieldViews views = Views(Poses, Bent);
        (double ax, double ay) = MarkAt(-3, -2);
        (double bx, double by) = MarkAt(3, 2);
        double length = Math.Sqrt((bx - ax) * (bx - ax) + (by - ay) * (by - ay)) * 1.01;
        FieldFit fit = SelfCalibration.Fit(views, 3, HalfField, new KnownLength(-42_000, -28_000, 42_000, 28_000, length));
        Assert.All(Bent.XNanometres.Zip(fit.Polynomial.XNanometres), pair => Assert.Equal(1.01 * pair.First, pair.Second, 1e-3));
        Assert.True(fit.Poses!.ScaleIsKnown);
    }

    [Theory]
    [InlineData("straight right up", 3, "in all views the sample lies the same way round or upside down")]
    [InlineData("straight turned", 3, "in all views the sample has the same middle, so that what is the same after a quarter turn, such as a pincushion, cannot be seen")]
    [InlineData("straight right up", 1, "in all views the sample lies the same way round or upside down")]
    public void What_views_do_not_tell_is_not_made_up(string names, int order, string expected)
    {
        (string, double, double, double)[] poses = [.. Poses.Where(pose => names.Contains(pose.Name, StringComparison.Ordinal)).Select(pose => (pose.Name, Math.Round(pose.Degrees / 90) * 90, Math.Round(pose.X / 14_000) * 14_000, Math.Round(pose.Y / 14_000) * 14_000))];
        CompileException fault = Assert.Throws<CompileException>(() => SelfCalibration.Fit(Views(poses, Bent, noise: 3), order, HalfField, null));
        Assert.StartsWith("error PC4004: " + expected, fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_shift_the_hidden_order_is_told_of()
    {
        var sink = new DiagnosticSink();
        FieldPolynomial flat = Bent with { Order = 2, XNanometres = [.. Bent.XNanometres.Take(6)], YNanometres = [.. Bent.YNanometres.Take(6)] };
        (_, FieldFit chosen) = SelfCalibration.FitAll(Views([Poses[0], (Poses[1].Name, 90, 0, 0)], flat, noise: 3), HalfField, null, sink);
        Assert.Equal(2, chosen.Polynomial.Order);
        Assert.Equal(["PC4056", "PC4057"], sink.Collected.Select(message => message.Code.Id));
        Assert.StartsWith("the views do not tell a distortion of order 3, which stays as it is: in all views the sample has the same middle", sink.Collected[0].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Text_and_plot_say_what_the_views_told()
    {
        FieldViews views = Views(Poses, Bent, noise: 3);
        (IReadOnlyList<FieldFit> fits, FieldFit fit) = SelfCalibration.FitAll(views, HalfField, null, new DiagnosticSink());
        Assert.Equal(3, fit.Polynomial.Order);
        Assert.InRange(fit.Poses!.NoiseNanometres, 2.5, 3.5);
        Assert.InRange(fit.Poses.ErrorNanometres, 0.5, 6);
        string text = FitText.Of(fits, fit);
        Assert.Contains("# view turned: sample turned by 90.7", text, StringComparison.Ordinal);
        Assert.Contains("# scale in the middle as the machine file has it", text, StringComparison.Ordinal);
        Plot plot = FieldResidualPlot.Compose(fit, views);
        Assert.Contains("drawn at the marks of view straight", plot.Facts, StringComparison.Ordinal);
        Assert.Contains("49 marks", plot.Facts, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("a, 0, 0, 1, 1\na, 0, 0, 2, 2\n", "t:3: error PC4005: view 'a' shows the same mark twice")]
    [InlineData(", 0, 0, 1, 1\n", "t:2: error PC4005: the line does not say in which view the mark is seen")]
    [InlineData("a, , 0, 1, 1\n", "t:2: error PC4005: the line does not say where the mark is drawn, which is its name")]
    [InlineData("a, 0, 0, 1,\n", "t:2: error PC4005: the mark is seen along one axis alone")]
    [InlineData("a, 0, 0, 80, 1\n", "t:2: error PC4005: the mark is seen beyond the field of 100 um")]
    [InlineData("a, 0, 0, 1, 1\na, 1, 0, 2, 2\n", "t: error PC4003: there is only one view, in which distortion and places of the marks cannot be told apart")]
    [InlineData("a, 0, 0, 1, 1\nb, 1, 0, 2, 2\n", "t: error PC4003: no mark is seen in two views")]
    [InlineData("a, 0, 0, 1, 1\nb, 0, 0, 2, 2\n", "t: error PC4002: 4 measurements cannot determine 7 parameters")]
    public void Tables_that_are_no_views_are_refused(string lines, string expected)
    {
        MeasurementTable table = Read("view, drawn x [um], drawn y [um], seen x [um], seen y [um]\n" + lines);
        CompileException fault = Assert.Throws<CompileException>(() =>
        {
            try
            {
                SelfCalibration.FitAll(FieldViews.Of(table, HalfField), HalfField, null, new DiagnosticSink());
            }
            catch (CompileException inner)
            {
                throw table.Locate(inner);
            }
        });
        Assert.StartsWith(expected, fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_known_length_between_marks_that_are_not_there_or_much_too_long_is_refused()
    {
        FieldViews views = Views(Poses, Bent);
        Assert.StartsWith(
            "error PC4001: no mark that is drawn at (1 um, 2 um) is seen in two views, and --known names it",
            Assert.Throws<CompileException>(() => SelfCalibration.Fit(views, 3, HalfField, new KnownLength(1000, 2000, 0, 0, 500))).Message, StringComparison.Ordinal);
        Assert.StartsWith(
            "error PC4073: the known length is 9.928 times as long as the views show it",
            Assert.Throws<CompileException>(() => SelfCalibration.Fit(views, 3, HalfField, new KnownLength(0, 0, 14_000, 0, 140_000))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Tables_put_one_behind_the_other_are_one()
    {
        const string Header = "view, drawn x [um], drawn y [um], seen x [um], seen y [um]\n";
        MeasurementTable table = Read(Header + "a, 0, 0, 1, 1\n" + Header + "b, 0, 0, 2, 2\n");
        Assert.Equal(2, table.Count);
        Assert.Equal(["a", "b"], table.Words("view")!);
    }

    [Fact]
    public void A_field_that_sees_itself_looks_straight()
    {
        var sink = new DiagnosticSink();
        FieldMark[] marks = [.. Drawn().Select((drawn, i) => new FieldMark(drawn.X, drawn.Y, drawn.X + 3 * Scatter(2 * i), drawn.Y + 3 * Scatter(2 * i + 1)))];
        FieldFitter.FitAll(marks, HalfField, sink);
        Assert.Contains(sink.Collected, message => message.Code.Id == "PC4055" && message.Message.StartsWith("the marks lie where they were commanded, within ", StringComparison.Ordinal));
        var other = new DiagnosticSink();
        FieldFitter.FitAll([.. marks.Select(mark => mark with { MeasuredX = 1.001 * mark.MeasuredX })], HalfField, other);
        Assert.DoesNotContain(other.Collected, message => message.Code.Id == "PC4055");
    }

    private static MeasurementTable Read(string text) => MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "t", FieldViews.WordColumns);

    private static IEnumerable<(double X, double Y)> Drawn() =>
        from row in Enumerable.Range(-3, 7) from column in Enumerable.Range(-3, 7) select (column * 14_000.0, row * 14_000.0);

    // Marks as a writer of that kind leaves them: elsewhere by a few hundred nanometres.
    private static (double X, double Y) MarkAt(int column, int row) => (14_000 * column * 1.003 + 100 * row + 90 * Scatter(7 * column + row), 14_000 * row * 0.998 + 90 * Scatter(column - 9 * row + 200));

    private static double Scatter(int i) => (uint)(i * 2_654_435_761L % 4_294_967_296L) / 2_147_483_648.0 % 2 - 1;

    private static FieldViews Views((string Name, double Degrees, double X, double Y)[] poses, FieldPolynomial bent, double noise = 0)
    {
        var field = new PolynomialCalibration(bent with { HalfFieldNanometres = HalfField });
        var text = new StringBuilder("view, drawn x [um], drawn y [um], seen x [um], seen y [um]\n");
        int number = 0;
        foreach ((string name, double degrees, double x, double y) in poses)
        {
            (double sine, double cosine) = Math.SinCos(degrees * Math.PI / 180);
            foreach ((double drawnX, double drawnY) in Drawn())
            {
                (double markX, double markY) = MarkAt((int)(drawnX / 14_000), (int)(drawnY / 14_000));
                bool isSeen = field.TryCommand(cosine * markX - sine * markY + x, sine * markX + cosine * markY + y, out double seenX, out double seenY);
                number += 2;
                text.Append(CultureInfo.InvariantCulture, $"{name}, {drawnX / 1000}, {drawnY / 1000}, ");
                text.Append(isSeen ? FormattableString.Invariant($"{(seenX + 1.7 * noise * Scatter(31 * number)) / 1000:R}, {(seenY + 1.7 * noise * Scatter(31 * number + 17)) / 1000:R}\n") : ",\n");
            }
        }

        return FieldViews.Of(Read(text.ToString()), HalfField);
    }
}
