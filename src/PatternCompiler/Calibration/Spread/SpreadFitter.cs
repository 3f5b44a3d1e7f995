using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.Spread;

/// <summary>
/// Fits a spread function to a dot test: single dots of known charge clear resist out to a measured radius r, where the
/// charge times the spread at r equals the resist's threshold. The radius carries the error, of even size in its logarithm. Three
/// parameters and a constant are found by least squares from several starting points, all as logarithms; intervals are by profile
/// likelihood. The dots show the beam as it was, spot included: the spot is taken out of the ranges in quadrature.
/// </summary>
internal static class SpreadFitter
{
    internal const int ParameterCount = 4;
    private const int MostDots = 2000;
    private const int StartsTried = 2;

    /// <summary>
    /// Radii that the best spread misses by more than this, as a root mean square of logarithms, are no dot test: common practice,
    /// no source.
    /// </summary>
    private const double LargestResidual = 0.4;

    // In logarithms: a factor of a million to either side.
    private const double Reach = 14;
    private static readonly double[] StartingRatios = [0.1, 0.3, 0.7, 1.5];
    private static readonly double[] StartingForwardFractions = [0.3, 1, 2, 4];
    private static readonly double[] StartingBackscatterFractions = [0.25, 0.5, 1];

    /// <summary>Fits dot charges (fC) and cleared radii (nm), written with a spot of a full width at half maximum (nm).</summary>
    public static SpreadFit Fit(IReadOnlyList<double> charges, IReadOnlyList<double> radii, double spotNanometres, DiagnosticSink sink)
    {
        RequireCoverage(radii);
        var model = new DotModel(charges, radii);
        NonlinearFit best = BestOf(model, charges, radii);
        if (radii.Count == ParameterCount)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                "four dots determine the four parameters exactly, so nothing is known of their error",
                fix: "measure more dots");
        }

        return Describe(best, charges, radii, spotNanometres);
    }

    private static void RequireCoverage(IReadOnlyList<double> radii)
    {
        if (radii.Count is < ParameterCount or > MostDots)
        {
            throw radii.Count > MostDots
                ? new CompileException(CalibrationCodes.BadTable, $"{radii.Count} dots are too many to fit; at most {MostDots} are fitted", fix: "fit a part of them")
                : new CompileException(
                    CalibrationCodes.TooFewMeasurements,
                    $"{radii.Count} dots cannot determine the range of forward scattering, the range of backscattering, their ratio and the threshold",
                    fix: "measure five dots or more, with charges over several decades");
        }

        double smallest = radii.Min();
        double largest = radii.Max();
        if (largest < 5 * smallest)
        {
            throw new CompileException(
                CalibrationCodes.NotCovered,
                $"the radii reach only from {smallest:0.###} to {largest:0.###} nm, which cannot tell forward scattering from backscattering",
                fix: "add dots of much larger charge, until the radius grows to micrometres");
        }
    }

    private static NonlinearFit BestOf(DotModel model, IReadOnlyList<double> charges, IReadOnlyList<double> radii)
    {
        NonlinearFit? best = StartingPoints(model, radii)
            .OrderBy(start => start.Squares).Take(StartsTried)
            .Select(start => NonlinearFit.Solve(model.Evaluate, radii.Count, start.Parameters))
            .Where(fit => fit is not null && double.IsFinite(fit.SumOfSquares))
            .MinBy(fit => fit!.SumOfSquares);
        if (best is null || !(Math.Sqrt(best.SumOfSquares / radii.Count) <= LargestResidual))
        {
            string miss = best is null ? "" : $": the best one misses the radii by {100 * Math.Sqrt(best.SumOfSquares / radii.Count):0} % (root mean square), more than {100 * LargestResidual:0} %";
            throw Fault(CalibrationCodes.NotConverged, "no two-Gaussian spread describes these dots" + miss, "look for a misread line or a wrong column", charges, radii);
        }

        return best;
    }

    /// <summary>Parameters to start from, with the threshold that suits most dots and lets every dot have a radius.</summary>
    private static IEnumerable<(double[] Parameters, double Squares)> StartingPoints(DotModel model, IReadOnlyList<double> radii)
    {
        double smallest = radii.Min();
        double largest = radii.Max();
        foreach (double forward in StartingForwardFractions)
        {
            foreach (double backscatter in StartingBackscatterFractions)
            {
                foreach (double ratio in StartingRatios)
                {
                    double a = smallest * forward;
                    double b = Math.Max(largest * backscatter, 2 * a);
                    double[] parameters = [Math.Log(a), Math.Log(b), Math.Log(ratio), 0];
                    parameters[3] = model.ThresholdFor(a, b, ratio);
                    yield return (parameters, model.RoughSquares(parameters));
                }
            }
        }
    }

    private static SpreadFit Describe(NonlinearFit fit, IReadOnlyList<double> charges, IReadOnlyList<double> radii, double spotNanometres)
    {
        double spot = spotNanometres / SpreadFunction.HalfMaximumWidthPerRange;
        double[] p = fit.Parameters;
        if (!fit.Covariance.Enumerate().All(value => double.IsFinite(value) || fit.DegreesOfFreedom == 0)
            || p[1] - p[0] < Math.Log(1.5) || Math.Abs(p[2]) > Reach)
        {
            throw Fault(
                CalibrationCodes.Undetermined,
                "the dots do not separate the forward from the backscattered range",
                "measure dots at more radii between the two ranges",
                charges,
                radii);
        }

        FitParameter Range(string name, int i)
        {
            double width = Math.Exp(p[i]);
            if (width <= spot)
            {
                throw Fault(
                    CalibrationCodes.SpotWiderThanDots,
                    $"the {name} range of the dots is {width:0.##} nm with the spot, no more than the {spot:0.##} nm of a spot of {spotNanometres:0.##} nm alone",
                    "check --spot (a full width at half maximum), or measure with a finer spot",
                    charges,
                    radii);
            }

            // Without the spot; what the interval with it says of a range below the spot's is that it may be 0.
            double WithoutSpot(double range) => Math.Sqrt(Math.Max(0, range * range - spot * spot));
            (double low, double high) = fit.DegreesOfFreedom > 0 ? fit.Interval(i, Reach) : (double.NaN, double.NaN);
            return ConfidenceInterval.Of(name, "nm", WithoutSpot(width), WithoutSpot(Math.Exp(low)), WithoutSpot(Math.Exp(high)), fit.DegreesOfFreedom);
        }

        (double lowRatio, double highRatio) = fit.DegreesOfFreedom > 0 ? fit.Interval(2, Reach) : (double.NaN, double.NaN);
        return new SpreadFit(
            Range("forward", 0),
            Range("backscatter", 1),
            ConfidenceInterval.Of("ratio", "", Math.Exp(p[2]), Math.Exp(lowRatio), Math.Exp(highRatio), fit.DegreesOfFreedom),
            Math.Sqrt(fit.SumOfSquares / radii.Count),
            p[3])
        {
            SpotNanometres = spotNanometres,
            ForwardWithSpot = Math.Exp(p[0]),
            BackscatterWithSpot = Math.Exp(p[1]),
            DegreesOfFreedom = fit.DegreesOfFreedom,
            LogCovariance = [.. fit.Covariance.ToRowMajorArray()],
        };
    }

    private static CompileException Fault(DiagnosticCode code, string problem, string fix, IReadOnlyList<double> charges, IReadOnlyList<double> radii) =>
        Misfit.Fault(code, problem, fix, new("charge", charges, "fC"), new("radius", radii, "nm"), rising: true);
}
