using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Mains;

/// <summary>
/// Fits sines of the mains frequency and its multiples to displacements of an edge over time, with an offset and a steady drift for
/// each line or picture. With a known frequency this is linear least squares in sines and cosines; a frequency that is to be fitted is
/// found by a scan about the stated one and then by Gauss-Newton steps.
/// </summary>
internal static class HumFitter
{
    // Mains is kept within a percent even where it is kept badly; common practice, no source.
    private const double SearchedPart = 0.02;
    private const int ScanStepsPerTurn = 10;
    private const int MostSteps = 50;
    private const int MostScanned = 2000;

    // Numbers of the design matrix.
    private const long MostNumbers = 4_000_000;

    /// <summary>Times for which sines come out with more than so many times the variance of evenly spread ones are refused.</summary>
    private const double LargestLoss = 25;

    private const int LeastRows = 3;
    private const double SamePhase = 0.03;

    /// <summary>Fits.</summary>
    /// <param name="rows">Times and displacements.</param>
    /// <param name="hertz">Frequency of the mains.</param>
    /// <param name="harmonics">Highest multiple of it.</param>
    /// <param name="fitsFrequency">Fit the frequency, too.</param>
    /// <param name="sink">Takes warnings.</param>
    /// <exception cref="CompileException">The measurements do not tell the hum.</exception>
    public static HumFit Fit(HumRows rows, double hertz, int harmonics, bool fitsFrequency, DiagnosticSink sink)
    {
        RequireSize(rows, harmonics);
        RequireLength(rows, hertz);
        if (fitsFrequency)
        {
            hertz = FindFrequency(rows, hertz, harmonics);
        }

        var model = new HumModel(rows, hertz, harmonics);
        LinearFit fit = Solve(model, rows, harmonics);
        if (fitsFrequency)
        {
            fit = LinearFit.Solve(model.DesignWithFrequency(fit.Coefficients), rows.Stacked);
        }

        if (fit.DegreesOfFreedom < 1)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                "there are as many rows as parameters, so nothing is known of their error",
                fix: "measure more rows, or fit fewer multiples with --harmonics");
        }

        return new HumFit(
            fitsFrequency
                ? ConfidenceInterval.Symmetric("frequency", "Hz", hertz, fit.StandardError(model.Columns), fit.DegreesOfFreedom)
                : new FitParameter("frequency", "Hz", hertz, 0, hertz, hertz),
            [.. rows.Axes.Select((axis, i) => new HumAxisFit(axis.Name, Waves(fit, model, axis.Name, i), model.WithoutTrend(fit, i)))],
            rows.Count,
            rows.Lines,
            rows.SpanSeconds,
            Math.Sqrt(fit.Residuals.Sum(residual => residual * residual) / fit.Residuals.Length));
    }

    private static void RequireSize(HumRows rows, int harmonics)
    {
        long numbers = (long)rows.Count * rows.Axes.Length * rows.Axes.Length * 2 * (rows.Lines + harmonics);
        if (numbers > MostNumbers)
        {
            throw new CompileException(
                CalibrationCodes.BadTable,
                $"the table has {CountText.Of(rows.Count, "row", "rows")} of {CountText.Of(rows.Lines, "line", "lines")}, more than are fitted together",
                fix: "fit a part of it");
        }

        int[] sizes = new int[rows.Lines];
        Array.ForEach(rows.LineOf, line => sizes[line]++);
        int small = Array.FindIndex(sizes, size => size < LeastRows);
        if (small >= 0)
        {
            throw new CompileException(
                CalibrationCodes.NotCovered,
                $"line {small + 1} of {rows.Lines} in rising order has {CountText.Of(sizes[small], "row", "rows")}, which its offset and drift explain by themselves",
                fix: "leave the line out, or measure more of it");
        }
    }

    private static void RequireLength(HumRows rows, double hertz)
    {
        if (rows.SpanSeconds * hertz < 1)
        {
            throw new CompileException(
                CalibrationCodes.NotCovered,
                $"the rows cover {Time(rows.SpanSeconds)}, less than the period of {Time(1 / hertz)}: a part of a wave cannot be told from a drift",
                fix: "write or image more slowly, or a longer edge; some periods are best");
        }
    }

    private static LinearFit Solve(HumModel model, HumRows rows, int harmonics)
    {
        LinearFit fit;
        try
        {
            fit = LinearFit.Solve(model.Design, rows.Stacked);
        }
        catch (CompileException fault) when (fault.Diagnostic.Code == CalibrationCodes.Undetermined)
        {
            throw Aliased(rows, model.Hertz, 0);
        }

        for (int harmonic = 1; harmonic <= harmonics; harmonic++)
        {
            int column = model.SineColumn(0, harmonic);
            double loss = Math.Max(fit.UnitCovariance(column, column), fit.UnitCovariance(column + 1, column + 1)) * rows.Count / 2;
            if (!(loss <= LargestLoss))
            {
                throw Aliased(rows, model.Hertz, harmonic);
            }
        }

        return fit;

        CompileException Aliased(HumRows table, double at, int unknown)
        {
            double step = table.UsualStepSeconds;
            for (int harmonic = 1; harmonic <= harmonics; harmonic++)
            {
                double turns = step * at * harmonic;
                if (step > 0 && Math.Abs(turns - Math.Round(turns)) < SamePhase && turns > 0.5)
                {
                    return Fault($"the rows come every {Time(step)}, {CountText.Of((long)Math.Round(turns), "period", "periods")} of {Rate(harmonic * at)}: each of them sees the same phase of it");
                }
            }

            return Fault(unknown > 0
                ? $"the times of the rows do not tell {Rate(unknown * at)} from the other multiples, an offset and a drift"
                : "the times of the rows do not tell the multiples of the mains frequency from one another, an offset and a drift");
        }

        static CompileException Fault(string message) => new(
            CalibrationCodes.SynchronousRows, message, fix: "let the rows not be synchronous with the mains (scan without line synchronisation, choose another time per row), or fit fewer multiples with --harmonics");
    }

    /// <summary>The best of a scan, then Gauss-Newton steps.</summary>
    private static double FindFrequency(HumRows rows, double stated, int harmonics)
    {
        double step = 1 / (ScanStepsPerTurn * harmonics * rows.LongestSeconds);
        if (!(stated * SearchedPart / step < MostScanned))
        {
            throw new CompileException(
                CalibrationCodes.NotCovered,
                $"the rows cover {Time(rows.LongestSeconds)}, over which the mains does not keep one phase, so that no frequency is looked for",
                fix: "fit rows that lie closer together, or state the frequency and leave --fit-frequency out");
        }

        int steps = (int)Math.Ceiling(stated * SearchedPart / step);
        double hertz = stated;
        double least = double.PositiveInfinity;
        for (int i = -steps; i <= steps; i++)
        {
            double tried = stated + stated * SearchedPart * i / Math.Max(1, steps);
            double left = Solve(new HumModel(rows, tried, harmonics), rows, harmonics).Residuals.Sum(r => r * r);
            (hertz, least) = left < least ? (tried, left) : (hertz, least);
        }

        for (int i = 0; i < MostSteps; i++)
        {
            var model = new HumModel(rows, hertz, harmonics);
            LinearFit fit = Solve(model, rows, harmonics);
            double change = LinearFit.Solve(model.DesignWithFrequency(fit.Coefficients), rows.Stacked).Coefficients[model.Columns];
            hertz += change;
            if (Math.Abs(hertz - stated) > 2 * SearchedPart * stated)
            {
                break;
            }

            if (Math.Abs(change) < 1e-10 * stated)
            {
                return hertz;
            }
        }

        throw new CompileException(
            CalibrationCodes.NotConverged,
            $"no frequency within {100 * SearchedPart:0} % of {Rate(stated)} fits the displacements better than those beside it",
            fix: "state the frequency with --frequency and leave --fit-frequency out, or measure more periods");
    }

    private static ImmutableArray<HumWaveFit> Waves(LinearFit fit, HumModel model, string axis, int index) =>
    [
        .. Enumerable.Range(1, model.Harmonics).Select(harmonic =>
        {
            int column = model.SineColumn(index, harmonic);
            (double sine, double cosine) = (fit.Coefficients[column], fit.Coefficients[column + 1]);
            double amplitude = Math.Sqrt(sine * sine + cosine * cosine);
            (double vss, double vsc, double vcc) = (fit.Covariance(column, column), fit.Covariance(column, column + 1), fit.Covariance(column + 1, column + 1));

            // To first order in the errors of both; without a wave there is no direction.
            (double s, double c) = amplitude > 0 ? (sine / amplitude, cosine / amplitude) : (1, 0);
            double along = Math.Sqrt(Math.Max(0, s * s * vss + 2 * s * c * vsc + c * c * vcc));
            double across = Math.Sqrt(Math.Max(0, c * c * vss - 2 * s * c * vsc + s * s * vcc));
            FitParameter size = ConfidenceInterval.Symmetric($"{axis}-amplitude-{harmonic}f", "nm", amplitude, along, fit.DegreesOfFreedom);
            (string name, double turn) = ($"{axis}-phase-{harmonic}f", Math.Atan2(c, s) * 360 / Math.Tau);

            // Where there may be none at all, nothing is known of its phase.
            return size.Low <= 0
                ? new HumWaveFit(size with { Low = 0 }, new FitParameter(name, "deg", turn, double.PositiveInfinity, double.NegativeInfinity, double.PositiveInfinity))
                : new HumWaveFit(size, ConfidenceInterval.Symmetric(name, "deg", turn, across / amplitude * 360 / Math.Tau, fit.DegreesOfFreedom));
        }),
    ];

    private static string Time(double seconds) => QuantityText.Format(seconds, Dimension.Time, 4);

    private static string Rate(double hertz) => QuantityText.Format(hertz, Dimension.Frequency, 4);
}
