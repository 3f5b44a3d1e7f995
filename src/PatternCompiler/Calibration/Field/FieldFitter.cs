using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Pictures;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Field;

/// <summary>
/// Fits the field's distortion, commanded → measured, by least squares in each axis. The direction is that of the
/// physics (the measured position carries the error); the wanted → commanded direction is solved from it when writing.
/// </summary>
internal static class FieldFitter
{
    /// <summary>Highest order that can be fitted.</summary>
    public const int HighestOrder = 3;

    // A field is magnified wrongly by a tenth, not by a half: common practice, no source.
    internal const double SmallestScale = 0.5;
    internal const double LargestScale = 2;

    // Places of the terms u and v in all orders.
    internal const int AlongX = 1;
    internal const int AlongY = 2;

    // Shifts of twice the noise of the marks are a distortion. Nobody measures a mark to a tenth of a nanometre: common practice, no source.
    private const double NotableShift = 2;
    private const double LeastNoiseNanometres = 0.1;

    /// <summary>Fits a polynomial of the given order, 1 to 3.</summary>
    public static FieldFit Fit(IReadOnlyList<FieldMark> marks, int order, double halfFieldNanometres)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(order, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(order, HighestOrder);
        (int U, int V)[] exponents = [.. FieldPolynomial.Exponents(order)];
        var design = new double[marks.Count, exponents.Length];
        for (int row = 0; row < marks.Count; row++)
        {
            double u = marks[row].CommandedX / halfFieldNanometres;
            double v = marks[row].CommandedY / halfFieldNanometres;
            for (int term = 0; term < exponents.Length; term++)
            {
                design[row, term] = FieldPolynomial.Power(u, exponents[term].U) * FieldPolynomial.Power(v, exponents[term].V);
            }
        }

        LinearFit x = LinearFit.Solve(design, [.. marks.Select(m => m.MeasuredX)]);
        LinearFit y = LinearFit.Solve(design, [.. marks.Select(m => m.MeasuredY)]);
        RequireSameAxes(x, y, halfFieldNanometres);
        double[] distances = [.. Enumerable.Range(0, marks.Count).Select(i => Distance(x.Residuals[i], y.Residuals[i]))];
        double[] leftOut = [.. Enumerable.Range(0, marks.Count).Select(i => Distance(x.LeaveOneOutError(i), y.LeaveOneOutError(i)))];
        return new FieldFit(
            new FieldPolynomial(order, halfFieldNanometres, x.Coefficients, y.Coefficients),
            [.. Parameters("x", x, exponents), .. Parameters("y", y, exponents)],
            [.. x.Residuals.Zip(y.Residuals)],
            x.DegreesOfFreedom,
            RootMeanSquare(distances),
            distances.Max(),
            RootMeanSquare(leftOut));
    }

    /// <summary>
    /// Fits every order that the marks can carry and returns them with the recommended one: the order that predicts
    /// left-out marks best. An order that leaves no spare mark is never recommended over one that does.
    /// </summary>
    /// <param name="fit">Fits an order.</param>
    /// <param name="unfitted">Told of an order that cannot be fitted; higher ones cannot either.</param>
    /// <param name="sink">Takes warnings.</param>
    public static (IReadOnlyList<FieldFit> Fits, FieldFit Recommended) FitAll(Func<int, FieldFit> fit, Action<int, Diagnostic> unfitted, DiagnosticSink sink)
    {
        var fits = new List<FieldFit>();
        for (int order = 1; order <= HighestOrder; order++)
        {
            try
            {
                fits.Add(fit(order));
            }
            catch (CompileException exception) when (fits.Count > 0)
            {
                unfitted(order, exception.Diagnostic);
                break;
            }
        }

        FieldFit? recommended = fits.Where(f => double.IsFinite(f.LeaveOneOutRootMeanSquare)).MinBy(f => f.LeaveOneOutRootMeanSquare);
        if (recommended is null)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                $"{fits[0].Residuals.Count} marks leave none to spare, so the quality of the calibration is unknown",
                fix: "measure at least one mark more than the model needs (4 for affine, 7 for order 2, 11 for order 3)");
        }

        return (fits, recommended ?? fits[0]);
    }

    /// <summary>Every order fitted to marks whose places are known.</summary>
    public static (IReadOnlyList<FieldFit> Fits, FieldFit Recommended) FitAll(IReadOnlyList<FieldMark> marks, double halfFieldNanometres, DiagnosticSink sink)
    {
        (IReadOnlyList<FieldFit> fits, FieldFit recommended) = FitAll(
            order => Fit(marks, order, halfFieldNanometres),
            (order, why) => sink.Note(why.Code, $"order {order} is not fitted: {why.Message}"),
            sink);
        WarnOfNoDistortion(marks, recommended, sink);
        return (fits, recommended);
    }

    /// <summary>
    /// What writes and looks with the same deflection errs alike both times: a distortion that does not show at all is more likely
    /// hidden than absent.
    /// </summary>
    private static void WarnOfNoDistortion(IReadOnlyList<FieldMark> marks, FieldFit fit, DiagnosticSink sink)
    {
        double[] shifts = [.. marks.Select(mark => Distance(mark.MeasuredX - mark.CommandedX, mark.MeasuredY - mark.CommandedY))];
        if (fit.DegreesOfFreedom > 0 && RootMeanSquare(shifts) < NotableShift * Math.Max(fit.RootMeanSquare, LeastNoiseNanometres))
        {
            sink.Warn(
                CalibrationCodes.NoDistortionSeen,
                $"the marks lie where they were commanded, within {FactText.Length(RootMeanSquare(shifts))}: a picture that was scanned by the deflection that wrote them shows just this, whatever the distortion",
                fix: "measure the marks with a stage or a microscope that you trust, or turn and move the sample between pictures and fit those as views (column 'view')");
        }
    }

    /// <summary>Marks are found about where they were asked to be: each axis follows its own command, at a scale of about one.</summary>
    private static void RequireSameAxes(LinearFit x, LinearFit y, double halfFieldNanometres)
    {
        (double alongX, double acrossX) = (x.Coefficients[AlongX] / halfFieldNanometres, x.Coefficients[AlongY] / halfFieldNanometres);
        (double acrossY, double alongY) = (y.Coefficients[AlongX] / halfFieldNanometres, y.Coefficients[AlongY] / halfFieldNanometres);
        string? problem = Math.Abs(acrossX) > Math.Abs(alongX) && Math.Abs(acrossY) > Math.Abs(alongY)
            ? "the measured x follows the commanded y, and the measured y the commanded x"
            : alongX is < SmallestScale or > LargestScale || alongY is < SmallestScale or > LargestScale
                ? $"the measured places lie {alongX:0.###} times as far apart in x as the commanded ones, and {alongY:0.###} times in y"
                : null;
        if (problem is not null)
        {
            throw new CompileException(
                CalibrationCodes.Contradiction, problem, fix: "look for exchanged columns or another unit; axes that run the other way are 'invert_x', 'invert_y' and 'swap' in the machine file");
        }
    }

    private static IEnumerable<FitParameter> Parameters(string axis, LinearFit fit, (int U, int V)[] exponents) =>
        exponents.Select((e, i) => ConfidenceInterval.Symmetric(
            $"{axis}-u{e.U}v{e.V}", "nm", fit.Coefficients[i], fit.StandardError(i), fit.DegreesOfFreedom));

    internal static double Distance(double x, double y) => Math.Sqrt(x * x + y * y);

    internal static double RootMeanSquare(IReadOnlyCollection<double> values) => Math.Sqrt(values.Sum(v => v * v) / values.Count);
}

/// <summary>One calibration mark: where it was asked to be and where it was found, in nanometres from the field's centre.</summary>
internal readonly record struct FieldMark(double CommandedX, double CommandedY, double MeasuredX, double MeasuredY)
{
    /// <summary>Reads the columns commanded x and y, measured x and y.</summary>
    /// <exception cref="CompileException">One of them is missing or has gaps.</exception>
    public static IReadOnlyList<FieldMark> Of(MeasurementTable table)
    {
        double[][] columns = [.. ((string[])["commanded x", "commanded y", "measured x", "measured y"]).Select(name => table.Column(name, Unit.Nanometre))];
        int gap = Enumerable.Range(0, table.Count).FirstOrDefault(i => Array.Exists(columns, column => double.IsNaN(column[i])), -1);
        return gap < 0
            ? [.. Enumerable.Range(0, table.Count).Select(i => new FieldMark(columns[0][i], columns[1][i], columns[2][i], columns[3][i]))]
            : throw new CompileException(new Diagnostic(CalibrationCodes.BadTable, Severity.Error, "a place is left empty", Fix: "leave out the line of a mark that was not found") { Measurement = gap });
    }
}

/// <summary>A field polynomial of one order fitted to calibration marks.</summary>
/// <param name="Polynomial">Commanded → landing position.</param>
/// <param name="Parameters">Every coefficient with its error, in nanometres: x terms first, then y terms.</param>
/// <param name="Residuals">Measured minus fitted landing position of every mark, in nanometres.</param>
/// <param name="DegreesOfFreedom">Spare marks per axis.</param>
/// <param name="RootMeanSquare">Of the residual distances, in nanometres; zero by construction with no degree of freedom.</param>
/// <param name="LargestResidual">Largest residual distance, in nanometres.</param>
/// <param name="LeaveOneOutRootMeanSquare">
/// Of the distances by which a fit to all other marks misses each mark, in nanometres; NaN if some mark cannot be left out.
/// </param>
internal sealed record FieldFit(
    FieldPolynomial Polynomial,
    IReadOnlyList<FitParameter> Parameters,
    IReadOnlyList<(double X, double Y)> Residuals,
    int DegreesOfFreedom,
    double RootMeanSquare,
    double LargestResidual,
    double LeaveOneOutRootMeanSquare)
{
    /// <summary>How the sample lay in the views that the fit was made from; null where the marks' places were known.</summary>
    public FieldPoses? Poses { get; init; }
}
