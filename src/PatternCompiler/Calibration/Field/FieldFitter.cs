using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;

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
    private const double SmallestScale = 0.5;
    private const double LargestScale = 2;

    // Places of the terms u and v in all orders.
    private const int AlongX = 1;
    private const int AlongY = 2;

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
    public static (IReadOnlyList<FieldFit> Fits, FieldFit Recommended) FitAll(
        IReadOnlyList<FieldMark> marks,
        double halfFieldNanometres,
        DiagnosticSink sink)
    {
        var fits = new List<FieldFit>();
        for (int order = 1; order <= HighestOrder; order++)
        {
            try
            {
                fits.Add(Fit(marks, order, halfFieldNanometres));
            }
            catch (CompileException exception) when (fits.Count > 0)
            {
                sink.Note(
                    exception.Diagnostic.Code,
                    $"order {order} is not fitted: {exception.Diagnostic.Message}");
                break;
            }
        }

        FieldFit? recommended = fits.Where(f => double.IsFinite(f.LeaveOneOutRootMeanSquare)).MinBy(f => f.LeaveOneOutRootMeanSquare);
        if (recommended is null)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                $"{marks.Count} marks leave none to spare, so the quality of the calibration is unknown",
                fix: "measure at least one mark more than the model needs (4 for affine, 7 for order 2, 11 for order 3)");
        }

        return (fits, recommended ?? fits[0]);
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

    private static double Distance(double x, double y) => Math.Sqrt(x * x + y * y);

    private static double RootMeanSquare(double[] values) => Math.Sqrt(values.Sum(v => v * v) / values.Length);
}

/// <summary>One calibration mark: where it was asked to be and where it was found, in nanometres from the field's centre.</summary>
internal readonly record struct FieldMark(double CommandedX, double CommandedY, double MeasuredX, double MeasuredY);

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
    double LeaveOneOutRootMeanSquare);
