using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.Contrast;

/// <summary>
/// Fits a contrast curve: a plateau, a straight slope against log10(dose), a plateau. Which measurements lie on the
/// slope is decided by trying every run of neighbouring doses and keeping the one whose curve leaves the smallest sum
/// of squares over all measurements, so nothing is picked by eye and nothing by a threshold.
/// </summary>
public static class ContrastFitter
{
    private const int FewestSlopeMeasurements = 2;

    /// <summary>Every run of doses is tried, which takes the third power of this.</summary>
    private const int MostMeasurements = 2000;

    /// <summary>
    /// A curve that leaves more than this part of the thickness unexplained says nothing: a table whose thickness does not depend on
    /// dose leaves up to a half (a coin's deviation). Common practice, no source.
    /// </summary>
    private const double LargestResidual = 0.25;

    /// <summary>Doses closer than this, as a difference of their logarithms, are one dose.</summary>
    private const double SameDose = 1e-6;

    /// <summary>Fits doses (µC/cm²) against thickness after development (nm), in any order.</summary>
    /// <param name="initialThicknessNanometres">Thickness of unexposed resist after development (positive), or of fully retained resist (negative).</param>
    public static ContrastFit Fit(
        IReadOnlyList<double> doses,
        IReadOnlyList<double> thicknesses,
        double initialThicknessNanometres,
        ResistTone tone,
        DiagnosticSink sink)
    {
        if (doses.Count > MostMeasurements)
        {
            throw new CompileException(
                CalibrationCodes.BadTable, $"{doses.Count} measurements are too many to look for a slope in; at most {MostMeasurements} are fitted", fix: "fit a part of them");
        }

        if (!(initialThicknessNanometres > 0))
        {
            throw new CompileException(
                CalibrationCodes.ImpossibleValue, "no measured thickness is above zero", fix: "measure resist that is left, or state its thickness with --initial-thickness");
        }

        int[] order = [.. Enumerable.Range(0, doses.Count).OrderBy(i => doses[i]).ThenBy(i => i)];
        double[] x = [.. order.Select(i => Math.Log10(doses[i]))];
        double[] y = [.. order.Select(i => thicknesses[i] / initialThicknessNanometres)];
        RequireBothPlateausInReach(doses, y, tone);

        Slope best = BestSlope(x, y, tone) ?? throw Misfit.Fault(
            CalibrationCodes.NotCovered,
            $"no run of doses shows the thickness {(tone == ResistTone.Positive ? "falling" : "rising")} from one plateau to the other",
            "add doses between the last unchanged and the first fully changed one, and look for a misread line",
            new("dose", doses, "uC/cm2"),
            new("thickness", thicknesses, "nm"),
            rising: tone == ResistTone.Negative);
        double residual = Math.Sqrt(best.SumOfSquares / y.Length);
        if (residual > LargestResidual)
        {
            throw Misfit.Fault(
                CalibrationCodes.NotConverged,
                $"the best curve misses the measurements by {100 * residual:0} % of the thickness (root mean square), more than {100 * LargestResidual:0} %: these are no thicknesses of one resist against dose",
                "look for a misread line, a wrong column or the wrong --tone",
                new("dose", doses, "uC/cm2"),
                new("thickness", thicknesses, "nm"),
                rising: tone == ResistTone.Negative);
        }

        if (best.Fit.DegreesOfFreedom == 0)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                "only two measurements lie on the slope, so the contrast has no error estimate",
                fix: "repeat the test with smaller dose steps around the clearing dose");
        }

        return Describe(best, initialThicknessNanometres, tone, y.Length);
    }

    private static void RequireBothPlateausInReach(IReadOnlyList<double> doses, double[] y, ResistTone tone)
    {
        double exposed = tone == ResistTone.Positive ? y.Min() : 1 - y.Max();
        double unexposed = tone == ResistTone.Positive ? 1 - y.Max() : y.Min();
        if (exposed > 0.5)
        {
            throw new CompileException(
                CalibrationCodes.NotCovered,
                $"no dose changes even half of the resist (largest dose {doses.Max():0.###} uC/cm2)",
                fix: "add larger doses, until the resist clears (positive) or stays whole (negative)");
        }

        if (unexposed > 0.5)
        {
            throw new CompileException(
                CalibrationCodes.NotCovered,
                $"even the smallest dose ({doses.Min():0.###} uC/cm2) changes more than half of the resist",
                fix: "add smaller doses");
        }
    }

    private static Slope? BestSlope(double[] x, double[] y, ResistTone tone)
    {
        Slope? best = null;
        for (int first = 0; first + FewestSlopeMeasurements <= x.Length; first++)
        {
            for (int last = first + FewestSlopeMeasurements - 1; last < x.Length; last++)
            {
                if (x[last] - x[first] > SameDose && TrySlope(x, y, first, last, tone) is { } slope
                    && (best is null || slope.SumOfSquares < best.SumOfSquares))
                {
                    best = slope;
                }
            }
        }

        return best;
    }

    private static Slope? TrySlope(double[] x, double[] y, int first, int last, ResistTone tone)
    {
        // Centred abscissae: then intercept and gradient are uncorrelated.
        int count = last - first + 1;
        double centre = x.AsSpan(first, count).ToArray().Average();
        var design = new double[count, 2];
        for (int i = 0; i < count; i++)
        {
            design[i, 0] = 1;
            design[i, 1] = x[first + i] - centre;
        }

        LinearFit fit = LinearFit.Solve(design, y[first..(last + 1)]);
        double gradient = fit.Coefficients[1];
        if (tone == ResistTone.Positive ? gradient >= 0 : gradient <= 0)
        {
            return null;
        }

        double sum = 0;
        for (int i = 0; i < x.Length; i++)
        {
            double error = y[i] - Math.Clamp(fit.Coefficients[0] + gradient * (x[i] - centre), 0, 1);
            sum += error * error;
        }

        return new Slope(first, last, centre, fit, sum);
    }

    private static ContrastFit Describe(Slope slope, double initialThickness, ResistTone tone, int measurements)
    {
        double unexposed = tone == ResistTone.Positive ? 1 : 0;
        double gradient = slope.Fit.Coefficients[1];
        return new ContrastFit(
            tone,
            DoseAt(slope, unexposed, "onset-dose"),
            DoseAt(slope, 1 - unexposed, tone == ResistTone.Positive ? "clearing-dose" : "retention-dose"),
            ConfidenceInterval.Positive(
                "contrast", "", Math.Abs(gradient), slope.Fit.StandardError(1) / Math.Abs(gradient), slope.Fit.DegreesOfFreedom),
            initialThickness,
            Math.Sqrt(slope.SumOfSquares / measurements),
            slope.First,
            slope.Last)
        {
            CentreLogDose = slope.Centre,
            LevelStandardError = slope.Fit.StandardError(0),
            DegreesOfFreedom = slope.Fit.DegreesOfFreedom,
        };
    }

    // Where the line reaches a level: x = centre + (level − a)/b; error by propagation from a and b, which are
    // uncorrelated because x is centred.
    private static FitParameter DoseAt(Slope slope, double level, string name)
    {
        double a = slope.Fit.Coefficients[0];
        double b = slope.Fit.Coefficients[1];
        double offset = (level - a) / b;
        double variance = (slope.Fit.Covariance(0, 0) + offset * offset * slope.Fit.Covariance(1, 1)) / (b * b);
        double ln10 = Math.Log(10);
        return ConfidenceInterval.Positive(
            name, "uC/cm2", Math.Pow(10, slope.Centre + offset), Math.Sqrt(variance) * ln10, slope.Fit.DegreesOfFreedom);
    }

    private sealed record Slope(int First, int Last, double Centre, LinearFit Fit, double SumOfSquares);
}
