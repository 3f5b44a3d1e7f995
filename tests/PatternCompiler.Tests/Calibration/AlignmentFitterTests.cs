using System.Globalization;
using System.Text;
using CsCheck;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Calibration;

public sealed class AlignmentFitterTests
{
    private static readonly LayerPlacement Usual = LayerPlacement.Of(1900, -400, 0.8, 1.004, 1.0035, 0.002);
    private static readonly (double X, double Y)[] Five = [(-23_500, -32_400), (23_500, -32_400), (38_000, 12_400), (-38_000, 12_400), (0, 40_000)];
    private static readonly string[] Names = ["SW", "SE", "NE", "NW", "N"];

    private static readonly Gen<LayerPlacement> AnyPlacement =
        from x in Gen.Double[-5000, 5000]
        from y in Gen.Double[-5000, 5000]
        from rotation in Gen.Double[-30, 30]
        from scaleX in Gen.Double[0.9, 1.1]
        from scaleY in Gen.Double[0.9, 1.1]
        from skew in Gen.Double[-0.05, 0.05]
        select LayerPlacement.Of(x, y, rotation, scaleX, scaleY, skew);

    [Fact]
    public void Exact_marks_give_the_exact_layer_and_its_text_places_the_next_one() => AnyPlacement.Sample(truth =>
    {
        var sink = new DiagnosticSink();
        AlignmentFit fit = AlignmentFitter.Fit(Marks(truth, Five, (_, _) => 0, double.NaN), null, sink);
        Assert.Empty(sink.Collected);
        Job job = JobFile.Parse("job: next\n" + AlignmentText.Of(fit), null);
        foreach (LayerPlacement found in new[] { fit.Placement, job.Alignment!.Layers.Whole! })
        {
            (double x, double y) = found.Land(50_000, -50_000);
            (double wantedX, double wantedY) = truth.Land(50_000, -50_000);
            Assert.Equal(wantedX, x, 2e-3);
            Assert.Equal(wantedY, y, 2e-3);
        }
    }, iter: Iterations.Usually(100));

    [Fact]
    public void A_similarity_and_a_shift_come_back_from_as_many_marks_as_they_need()
    {
        var turned = LayerPlacement.Of(300, 700, -1.5, 0.998, 0.998, 0);
        Assert.Equal(turned.Numbers.Select(Rounded), AlignmentFitter.Fit(Marks(turned, Five[..2], (_, _) => 0, 3), null, new DiagnosticSink()).Placement.Numbers.Select(Rounded));
        var moved = LayerPlacement.Of(300, 700, 0, 1, 1, 0);
        Assert.Equal(moved.Numbers.Select(Rounded), AlignmentFitter.Fit(Marks(moved, Five[..1], (_, _) => 0, 3), null, new DiagnosticSink()).Placement.Numbers.Select(Rounded));

        static double Rounded(double value) => Math.Round(value, 6) + 0.0;
    }

    /// <summary>One of five is displaced by 0.3 um in any direction: it is named, and the others place the layer as well as if it had not been written.</summary>
    [Theory]
    [InlineData(6)]
    [InlineData(double.NaN)]
    public void One_of_five_that_lies_elsewhere_is_named(double stated)
    {
        int named = 0;
        int tables = Iterations.Usually(200);
        for (int seed = 0; seed < tables; seed++)
        {
            var random = new Random(seed);
            int bad = random.Next(5);
            double angle = random.NextDouble() * 2 * Math.PI;
            double noise = double.IsNaN(stated) ? 2 : stated;
            AlignmentMark[] marks = Marks(Usual, Five, (i, isX) => noise * Normal(random) + (i == bad ? 300 * (isX ? Math.Cos(angle) : Math.Sin(angle)) : 0), stated);
            var sink = new DiagnosticSink();
            AlignmentFit fit = AlignmentFitter.Fit(marks, null, sink);
            string[] left = [.. fit.Marks.Where(mark => mark.State == MarkState.Displaced).Select(mark => mark.Mark.Name)];
            Assert.True(left.Length == 0 || left[0] == Names[bad], $"seed {seed}: named {left.FirstOrDefault()}, not {Names[bad]}");
            named += left.Length;
            if (left.Length == 1)
            {
                (double x, double y) = fit.Placement.Land(0, 0);
                Assert.True(Math.Abs(x - Usual.OffsetXNanometres) < 6 * noise && Math.Abs(y - Usual.OffsetYNanometres) < 6 * noise, $"seed {seed}");
            }
        }

        // By stated errors the other four must fit together, which chance denies them once in a thousand tables; four standard deviations more of it.
        double denied = 1e-3 * tables;
        Assert.True(named >= (double.IsNaN(stated) ? 0.9 * tables : tables - denied - 4 * Math.Sqrt(denied)), $"{named} of {tables} named");
    }

    /// <summary>Marks with no more than their noise are hardly ever left out: once in a thousand tables by stated errors, once in a hundred without.</summary>
    [Theory]
    [InlineData(6, 5)]
    [InlineData(double.NaN, 20)]
    public void Honest_marks_stay(double stated, int most)
    {
        int left = 0;
        int tables = Iterations.Usually(1000);
        for (int seed = 0; seed < tables; seed++)
        {
            var random = new Random(seed);
            AlignmentFit fit = AlignmentFitter.Fit(Marks(Usual, Five, (_, _) => 6 * Normal(random), stated), null, new DiagnosticSink());
            left += fit.Marks.Count(mark => mark.State != MarkState.Used);
        }

        Assert.True(left <= Iterations.Usually(most), $"{left} of {5 * tables} marks left out");
    }

    /// <summary>
    /// Two pairs of marks on parallel lines, 47 and 76 um apart: of a move of one of the wide pair an affine map leaves 47²/2(47² + 76²) of its square,
    /// over two spare coordinates: 300 nm at 6 nm are 13.1 times what is expected.
    /// </summary>
    [Fact]
    public void Of_four_marks_none_is_named_but_the_scatter_is_told()
    {
        var sink = new DiagnosticSink();
        AlignmentFit fit = AlignmentFitter.Fit(Marks(Usual, Five[..4], (i, isX) => i == 2 && isX ? 300 : 0, 6), null, sink);
        Assert.All(fit.Marks, mark => Assert.Equal(MarkState.Used, mark.State));
        Assert.Equal(
            "PC4063 warning: the marks scatter 13.1 times as much as their errors say, and no single one of them explains it; intervals are taken from the scatter\n"
            + "  fix: look at the residuals; from 5 marks on, one that lies elsewhere can be named",
            string.Join('\n', sink.Collected.Select(Printed)));
        Assert.False(double.IsNaN(fit.Parameters[0].StandardError));
    }

    /// <summary>Four corners and the middle: two opposite corners, one moved, look the same. Neither is taken for the other.</summary>
    [Fact]
    public void Marks_that_cannot_be_told_apart_are_both_named_and_both_kept()
    {
        (double, double)[] places = [(-40_000, -40_000), (40_000, -40_000), (40_000, 40_000), (-40_000, 40_000), (0, 0)];
        var sink = new DiagnosticSink();
        AlignmentFit fit = AlignmentFitter.Fit(Marks(Usual, places, (i, isX) => i == 2 && isX ? 300 : 0, 6), null, sink);
        Assert.All(fit.Marks, mark => Assert.Equal(MarkState.Used, mark.State));
        Assert.StartsWith("PC4063 warning: the marks scatter ", Printed(Assert.Single(sink.Collected)), StringComparison.Ordinal);
        Assert.Contains(" times as much as their errors say: 'SW' or 'NE' lies elsewhere, and these marks do not tell which;", sink.Collected[0].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_mark_whose_picture_failed_is_left_out_by_name()
    {
        var sink = new DiagnosticSink();
        AlignmentMark[] marks = Marks(Usual, Five[..4], (_, _) => 0, 6);
        marks[1] = marks[1] with { FoundX = double.NaN, FoundY = double.NaN };
        AlignmentFit fit = AlignmentFitter.Fit(marks, AlignmentModel.Affine, sink);
        Assert.Equal(MarkState.NotFound, fit.Marks[1].State);
        Assert.Equal(
            "PC4061 note: mark 'SE' was not found and is left out\n"
            + "PC4006 warning: 3 marks leave none to spare, so the quality of the alignment is unknown\n"
            + "  fix: look at 4 marks at least; from 5 on, one that lies elsewhere is told from the others",
            string.Join('\n', sink.Collected.Select(Printed)));
        Assert.Equal(Usual.OffsetXNanometres, fit.Placement.OffsetXNanometres, 1e-6);
    }

    [Fact]
    public void What_is_left_out_is_told_with_how_far_off_it_lies()
    {
        var sink = new DiagnosticSink();
        AlignmentFit fit = AlignmentFitter.Fit(Marks(Usual, Five, (i, isX) => i == 3 ? (isX ? 180 : -240) : 0, 6), null, sink);
        Assert.Equal(
            "PC4062 warning: mark 'NW' is left out: it lies (180, -240) nm from where the other 4 put it\n"
            + "  fix: look at its picture; if it is sound, the mark itself is damaged or was written elsewhere",
            string.Join('\n', sink.Collected.Select(Printed)));
        Assert.Contains("# NW           180        -240           180          -240   <- left out\n", AlignmentText.Of(fit), StringComparison.Ordinal);
    }

    /// <summary>The closed form of what is left by a fit to all other marks is that of such a fit.</summary>
    [Theory]
    [InlineData("Shift")]
    [InlineData("Similarity")]
    [InlineData("Affine")]
    public void Leave_one_out_is_a_fit_to_all_others(string name)
    {
        var model = Enum.Parse<AlignmentModel>(name);
        var random = new Random(7);
        (double, double)[] places = [.. Five, (15_000, -22_000), (-31_000, 4000)];
        AlignmentMark[] marks = [.. Marks(Usual, places, (_, _) => 20 * Normal(random), 5).Select((mark, i) => mark with { ErrorX = 4 + i, ErrorY = 9 - i })];
        var all = new MarkEquations(marks, model);
        for (int i = 0; i < marks.Length; i++)
        {
            var others = new MarkEquations([.. marks.Where((_, j) => j != i)], model);
            (double xx, double xy, double yx, double yy, double offsetX, double offsetY) = others.Map(others.Fit.Coefficients);
            (double x, double y) = new LayerPlacement(xx, xy, offsetX, yx, yy, offsetY).Land(marks[i].WantedX, marks[i].WantedY);
            Assert.Equal(marks[i].FoundX - x, all.LeaveOneOut(i).X, 1e-4);
            Assert.Equal(marks[i].FoundY - y, all.LeaveOneOut(i).Y, 1e-4);
            Assert.Equal(all.SumOfSquares - others.SumOfSquares, all.DropWithout(i), 1e-5);
        }
    }

    [Theory]
    [InlineData("mark, wanted x [um], wanted y [um], found x [um], found y [um]\na, 0, 0, 0, 0\na, 1, 0, 1, 0\n", "PC4005", "two marks are called 'a'")]
    [InlineData("mark, wanted x [um], wanted y [um], found x [um], found y [um]\na, 0, 0, 0,\n", "PC4005", "mark 'a' was found along one axis alone")]
    [InlineData("mark, wanted x [um], wanted y [um], found x [um], found y [um]\na, , 0, 0, 0\n", "PC4005", "'wanted x' is left empty")]
    [InlineData("mark, wanted x [um], wanted y [um], found x [um], found y [um], uncertainty [nm]\na, 0, 0, 0, 0, 0\n", "PC4005", "the uncertainty of mark 'a' must be above zero")]
    [InlineData("mark, wanted x [um], wanted y [um], found x [um], found y [um], uncertainty x [nm]\na, 0, 0, 0, 0, 1\n", "PC4001", "the uncertainty is stated along one axis alone")]
    [InlineData("wanted x [um], wanted y [um], found x [um], found y [um]\n0, 0, 0, 0\n", "PC4001", "there is no column 'mark'")]
    [InlineData("mark, wanted x [um], wanted y [um], found x [um], found y [um]\na, 0, 0, ,\n", "PC4002", "0 marks were found, and a shift takes 1")]
    [InlineData("mark, wanted x [um], wanted y [um], found x [um], found y [um]\na, 0, 0, 0, 0\nb, 9, 0, 9, 0\nc, 9, 9, 9, -9\nd, 0, 9, 0, -9\n", "PC4073", "the marks were found mirrored")]
    [InlineData("mark, wanted x [um], wanted y [um], found x [um], found y [um]\na, 0, 0, 0, 0\nb, 9, 0, 9, 0\nc, 18, 0, 18, 0\nd, 27, 0, 27, 0\n", "PC4004", "the measurements lie so that several answers fit equally well")]
    public void What_does_not_tell_a_layer_is_refused(string table, string code, string message)
    {
        CompileException fault = Assert.Throws<CompileException>(() => AlignmentFitter.Fit(
            MarkTable.Of(MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(table)), "marks.csv", MarkTable.WordColumns), null), null, new DiagnosticSink()));
        Assert.Equal((code, message), (fault.Diagnostic.Code.Id, fault.Diagnostic.Message));
    }

    /// <summary>Up to twice and down to half as large as drawn, along either axis, is a layer; what is further off is another drawing or another unit.</summary>
    [Theory]
    [InlineData(1.999, 0.501, null)]
    [InlineData(0.501, 1.999, null)]
    [InlineData(2.001, 1, "the marks were found 2.001 times as far apart in x as wanted, and 1 times in y")]
    [InlineData(1, 2.001, "the marks were found 1 times as far apart in x as wanted, and 2.001 times in y")]
    [InlineData(0.499, 1, "the marks were found 0.499 times as far apart in x as wanted, and 1 times in y")]
    [InlineData(1, 0.499, "the marks were found 1 times as far apart in x as wanted, and 0.499 times in y")]
    public void Scales_beyond_two_are_no_layer(double scaleX, double scaleY, string? message)
    {
        AlignmentMark[] marks = Marks(LayerPlacement.Of(300, -200, 1, scaleX, scaleY, 0), Five, (_, _) => 0, 10);
        Assert.Equal(message, (Record.Exception(() => AlignmentFitter.Fit(marks, AlignmentModel.Affine, new DiagnosticSink())) as CompileException)?.Diagnostic.Message);
    }

    private static AlignmentMark[] Marks(LayerPlacement truth, (double X, double Y)[] places, Func<int, bool, double> error, double stated) =>
    [
        .. places.Select((place, i) =>
        {
            (double x, double y) = truth.Land(place.X, place.Y);
            return new AlignmentMark(i < Names.Length ? Names[i] : i.ToString(CultureInfo.InvariantCulture), place.X, place.Y, x + error(i, true), y + error(i, false), stated, stated);
        }),
    ];

    private static string Printed(Diagnostic diagnostic) =>
        $"{diagnostic.Code.Id} {(diagnostic.Severity == Severity.Note ? "note" : "warning")}: {diagnostic.Message}{(diagnostic.Fix is { } fix ? $"\n  fix: {fix}" : "")}";

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
