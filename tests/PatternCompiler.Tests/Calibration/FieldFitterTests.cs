using PatternCompiler.Calibration.Field;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Calibration;

public class FieldFitterTests
{
    private const double HalfField = 50_000;

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void A_known_polynomial_is_recovered(int order)
    {
        var truth = new FieldPolynomial(
            order,
            HalfField,
            [.. Enumerable.Range(0, FieldPolynomial.TermCount(order)).Select(i => i == 1 ? 50_000.0 : 7.0 * i - 3)],
            [.. Enumerable.Range(0, FieldPolynomial.TermCount(order)).Select(i => i == 2 ? 50_000.0 : 11.0 - 2 * i)]);
        FieldFit fit = FieldFitter.Fit(Grid(5, truth), order, HalfField);
        Assert.All(truth.XNanometres.Zip(fit.Polynomial.XNanometres), p => Assert.Equal(p.First, p.Second, 7));
        Assert.All(truth.YNanometres.Zip(fit.Polynomial.YNanometres), p => Assert.Equal(p.First, p.Second, 7));
        Assert.True(fit.LargestResidual < 1e-7);
    }

    // A field that bends as u·v only: an affine fit to its four corners leaves residuals of equal size and alternating
    // sign at all four, and nothing else can be read from four corners.
    [Fact]
    public void Four_corners_show_a_product_term_as_equal_residuals_of_alternating_sign()
    {
        FieldMark[] corners = [.. new[] { (-1, -1), (1, -1), (1, 1), (-1, 1) }.Select(c => new FieldMark(
            c.Item1 * HalfField, c.Item2 * HalfField, c.Item1 * HalfField + 8 * c.Item1 * c.Item2, c.Item2 * HalfField))];
        FieldFit fit = FieldFitter.Fit(corners, 1, HalfField);
        Assert.Equal([8, -8, 8, -8], fit.Residuals.Select(r => Math.Round(r.X, 6)));
        Assert.Equal(1, fit.DegreesOfFreedom);
    }

    // Leaving a mark out by formula and by fitting again must agree.
    [Fact]
    public void Leave_one_out_equals_fitting_without_the_mark()
    {
        FieldMark[] marks = [.. Grid(4, null).Select((m, i) => m with { MeasuredX = m.MeasuredX + (i * 37 % 11), MeasuredY = m.MeasuredY - (i * 53 % 7) })];
        double sum = 0;
        for (int i = 0; i < marks.Length; i++)
        {
            FieldPolynomial without = FieldFitter.Fit([.. marks.Where((_, k) => k != i)], 2, HalfField).Polynomial;
            (double x, double y) = without.Land(marks[i].CommandedX, marks[i].CommandedY);
            sum += Math.Pow(marks[i].MeasuredX - x, 2) + Math.Pow(marks[i].MeasuredY - y, 2);
        }

        Assert.Equal(Math.Sqrt(sum / marks.Length), FieldFitter.Fit(marks, 2, HalfField).LeaveOneOutRootMeanSquare, 6);
    }

    [Fact]
    public void Marks_on_one_line_are_refused()
    {
        FieldMark[] marks = [.. Enumerable.Range(-3, 7).Select(i => new FieldMark(i * 1000, i * 2000, i * 1000, i * 2000))];
        var error = Assert.Throws<CompileException>(() => FieldFitter.Fit(marks, 1, HalfField));
        Assert.Equal("PC4004", error.Diagnostic.Code.Id);
    }

    [Fact]
    public void The_order_that_predicts_best_is_recommended()
    {
        var truth = new FieldPolynomial(2, HalfField, [0, 50_000, 0, 60, -20, 35], [0, 0, 50_000, 10, 25, -40]);
        FieldMark[] marks = [.. Grid(5, truth).Select((m, i) => m with { MeasuredX = m.MeasuredX + (i * 37 % 11 - 5) * 0.4 })];
        (IReadOnlyList<FieldFit> fits, FieldFit recommended) = FieldFitter.FitAll(marks, HalfField, new DiagnosticSink());
        Assert.Equal(3, fits.Count);
        Assert.Equal(2, recommended.Polynomial.Order);
    }

    [Fact]
    public void Three_marks_give_an_affine_fit_of_unknown_quality()
    {
        var sink = new DiagnosticSink();
        FieldMark[] marks = [new(0, 0, 1, 2), new(40_000, 0, 40_010, 3), new(0, 40_000, 2, 40_020)];
        (_, FieldFit recommended) = FieldFitter.FitAll(marks, HalfField, sink);
        Assert.True(double.IsNaN(recommended.LeaveOneOutRootMeanSquare));
        Assert.Contains(sink.Collected, d => d.Code.Id == "PC4006");
        Assert.Contains(sink.Collected, d => d.Severity == Severity.Note && d.Message.StartsWith("order 2 is not fitted: ", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(0, 1, "the measured x follows the commanded y, and the measured y the commanded x; look for exchanged columns")]
    [InlineData(1000, 0, "the measured places lie 1000 times as far apart in x as the commanded ones, and 1000 times in y; look for exchanged columns or another unit")]
    [InlineData(-1, 0, "the measured places lie -1 times as far apart in x as the commanded ones, and -1 times in y; look for")]
    public void Marks_of_exchanged_columns_or_another_unit_are_refused(double along, double across, string expected)
    {
        FieldMark[] marks = [.. Grid(4, null).Select(m => m with { MeasuredX = (along * m.CommandedX) + (across * m.CommandedY), MeasuredY = (along * m.CommandedY) + (across * m.CommandedX) })];
        Assert.StartsWith("error PC4073: " + expected, Assert.Throws<CompileException>(() => FieldFitter.FitAll(marks, HalfField, new DiagnosticSink())).Message, StringComparison.Ordinal);
    }

    /// <summary>One column alone may be wrong: the other axis still follows its own command, and nothing was exchanged.</summary>
    [Theory]
    [InlineData(false, "the measured places lie 1 times as far apart in x as the commanded ones, and 0.2 times in y; ")]
    [InlineData(true, "the measured places lie 0.2 times as far apart in x as the commanded ones, and 1 times in y; ")]
    public void One_wrong_column_is_not_taken_for_two_exchanged_ones(bool isX, string expected)
    {
        FieldMark[] marks = [.. Grid(4, null).Select(m => isX
            ? m with { MeasuredX = m.CommandedY + (0.2 * m.CommandedX), MeasuredY = m.CommandedY + (0.001 * m.CommandedX) }
            : m with { MeasuredX = m.CommandedX + (0.001 * m.CommandedY), MeasuredY = m.CommandedX + (0.2 * m.CommandedY) })];
        Assert.StartsWith("error PC4073: " + expected, Assert.Throws<CompileException>(() => FieldFitter.FitAll(marks, HalfField, new DiagnosticSink())).Message, StringComparison.Ordinal);
    }

    private static FieldMark[] Grid(int side, FieldPolynomial? truth) =>
    [
        .. from i in Enumerable.Range(0, side)
           from j in Enumerable.Range(0, side)
           let x = HalfField * (2.0 * i / (side - 1) - 1)
           let y = HalfField * (2.0 * j / (side - 1) - 1)
           let landing = truth?.Land(x, y) ?? (x, y)
           select new FieldMark(x, y, landing.Item1, landing.Item2),
    ];
}
