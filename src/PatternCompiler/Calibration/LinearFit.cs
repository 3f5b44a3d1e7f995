using MathNet.Numerics.LinearAlgebra;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Calibration;

/// <summary>
/// Ordinary least squares by QR decomposition: coefficients, their covariance, and each measurement's leverage, from
/// which the leave-one-out errors follow without fitting again.
/// </summary>
internal sealed class LinearFit
{
    /// <summary>Above this ratio of largest to smallest singular value the columns are called dependent.</summary>
    private const double LargestConditionNumber = 1e8;

    private readonly Matrix<double> inverseNormal;
    private readonly double[] leverages;
    private readonly int means;

    private LinearFit(Vector<double> coefficients, Vector<double> residuals, Matrix<double> inverseNormal, double[] leverages, int means)
    {
        Coefficients = [.. coefficients];
        Residuals = [.. residuals];
        this.inverseNormal = inverseNormal;
        this.leverages = leverages;
        this.means = means;
        DegreesOfFreedom = residuals.Count - coefficients.Count - means;
    }

    /// <summary>Fitted coefficients, one per column.</summary>
    public double[] Coefficients { get; }

    /// <summary>Measured minus fitted, one per row.</summary>
    public double[] Residuals { get; }

    /// <summary>Measurements minus coefficients and means.</summary>
    public int DegreesOfFreedom { get; }

    /// <summary>Estimated variance of one measurement; NaN with no degree of freedom.</summary>
    public double Variance => DegreesOfFreedom > 0 ? Residuals.Sum(r => r * r) / DegreesOfFreedom : double.NaN;

    /// <summary>
    /// Fits <paramref name="design"/> · coefficients ≈ <paramref name="measured"/>; refuses fewer rows than columns and
    /// dependent columns.
    /// </summary>
    public static LinearFit Solve(double[,] design, double[] measured)
    {
        Matrix<double> matrix = Matrix<double>.Build.DenseOfArray(design);
        if (matrix.RowCount < matrix.ColumnCount)
        {
            throw TooFew(matrix.RowCount, matrix.ColumnCount);
        }

        RequireFinite(matrix.Enumerate());
        RequireFinite(measured);
        var decomposition = matrix.QR(MathNet.Numerics.LinearAlgebra.Factorization.QRMethod.Thin);
        RequireFinite(decomposition.R.Enumerate());
        if (!(decomposition.R.ConditionNumber() < LargestConditionNumber))
        {
            throw new CompileException(
                CalibrationCodes.Undetermined,
                "the measurements lie so that several answers fit equally well",
                fix: "spread the measured points out (marks in at least three corners, several different settings)");
        }

        Vector<double> values = Vector<double>.Build.Dense(measured);
        Vector<double> coefficients = decomposition.Solve(values);
        Matrix<double> inverseR = decomposition.R.Inverse();
        double[] leverages = [.. decomposition.Q.EnumerateRows().Select(row => row.DotProduct(row))];
        RequireFinite(coefficients);
        return new LinearFit(coefficients, values - matrix * coefficients, inverseR * inverseR.Transpose(), leverages, 0);
    }

    /// <summary>
    /// The same where the measurements of each group share an unknown value of their own beside what the coefficients explain, which is
    /// taken out by subtracting the group's mean from its rows (the theorem of Frisch, Waugh and Lovell).
    /// </summary>
    /// <param name="design">A row for each measurement; is changed.</param>
    /// <param name="measured">The measurements; are changed.</param>
    /// <param name="groupOf">The group of each, from 0 on.</param>
    public static LinearFit SolveWithMeans(double[,] design, double[] measured, int[] groupOf)
    {
        int columns = design.GetLength(1);
        var sums = new double[groupOf.Max() + 1, columns + 2];
        for (int row = 0; row < measured.Length; row++)
        {
            for (int column = 0; column < columns; column++)
            {
                sums[groupOf[row], column] += design[row, column];
            }

            sums[groupOf[row], columns] += measured[row];
            sums[groupOf[row], columns + 1]++;
        }

        for (int row = 0; row < measured.Length; row++)
        {
            double size = sums[groupOf[row], columns + 1];
            for (int column = 0; column < columns; column++)
            {
                design[row, column] -= sums[groupOf[row], column] / size;
            }

            measured[row] -= sums[groupOf[row], columns] / size;
        }

        int groups = groupOf.Distinct().Count();
        if (measured.Length < columns + groups)
        {
            throw TooFew(measured.Length, columns + groups);
        }

        LinearFit fit = Solve(design, measured);
        double[] leverages = [.. fit.leverages.Select((leverage, row) => leverage + 1 / sums[groupOf[row], columns + 1])];
        return new LinearFit(Vector<double>.Build.Dense(fit.Coefficients), Vector<double>.Build.Dense(fit.Residuals), fit.inverseNormal, leverages, groups);
    }

    private static CompileException TooFew(int measurements, int parameters) => new(
        CalibrationCodes.TooFewMeasurements,
        $"{measurements} measurements cannot determine {parameters} parameters",
        fix: $"measure at least {parameters + 1} points or fit a simpler model");

    /// <summary>Refuses numbers that have overflowed: what is calculated from them means nothing.</summary>
    private static void RequireFinite(IEnumerable<double> numbers)
    {
        if (!numbers.All(double.IsFinite))
        {
            throw new CompileException(
                CalibrationCodes.NotConverged,
                "the measurements are so far from what is fitted that its numbers grow without end",
                fix: "look for a misread line or a wrong unit");
        }
    }

    /// <summary>The same fit with one column counted in another unit: its coefficient is multiplied by a factor.</summary>
    public LinearFit Rescaled(int column, double factor)
    {
        Vector<double> scale = Vector<double>.Build.Dense(Coefficients.Length, 1);
        scale[column] = factor;
        Matrix<double> diagonal = Matrix<double>.Build.DenseOfDiagonalVector(scale);
        return new LinearFit(
            Vector<double>.Build.Dense(Coefficients).PointwiseMultiply(scale),
            Vector<double>.Build.Dense(Residuals),
            diagonal * inverseNormal * diagonal,
            leverages,
            means);
    }

    /// <summary>Covariance of two coefficients.</summary>
    public double Covariance(int i, int j) => Variance * inverseNormal[i, j];

    /// <summary>Covariance of two coefficients where each measurement has a variance of one.</summary>
    public double UnitCovariance(int i, int j) => inverseNormal[i, j];

    /// <summary>Standard error of one coefficient.</summary>
    public double StandardError(int i) => Math.Sqrt(Covariance(i, i));

    /// <summary>
    /// Error with which the fit to all other measurements would have predicted measurement <paramref name="row"/>:
    /// residual / (1 − leverage). NaN where the fit passes through the measurement because nothing else fixes it.
    /// </summary>
    public double LeaveOneOutError(int row)
    {
        double free = 1 - leverages[row];
        return free > 1e-9 ? Residuals[row] / free : double.NaN;
    }
}
