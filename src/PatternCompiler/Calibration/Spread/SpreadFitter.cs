using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.Optimization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Calibration.Spread;

/// <summary>
/// Fits a spread function to a dot test: single dots of known charge clear resist out to a measured radius r, where the
/// charge times the spread at r equals the resist's threshold. So the logarithm of the charge is a constant minus the
/// logarithm of the spread at r: three parameters and a constant, found by Levenberg–Marquardt from several starting
/// points, all positive parameters as logarithms.
/// </summary>
public static class SpreadFitter
{
    internal const int ParameterCount = 4;
    private static readonly double[] StartingRatios = [0.3, 0.7, 1.5];
    private static readonly double[] StartingForwardFractions = [0.3, 1, 2];
    private static readonly double[] StartingBackscatterFractions = [0.25, 0.5, 1];

    /// <summary>Fits dot charges (fC) and cleared radii (nm).</summary>
    public static SpreadFit Fit(IReadOnlyList<double> charges, IReadOnlyList<double> radii, DiagnosticSink sink)
    {
        RequireCoverage(radii);
        Vector<double> x = Vector<double>.Build.DenseOfEnumerable(radii);
        Vector<double> y = Vector<double>.Build.DenseOfEnumerable(charges.Select(charge => Math.Log(charge)));
        NonlinearMinimizationResult best = BestOf(x, y);
        if (radii.Count == ParameterCount)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                "four dots determine the four parameters exactly, so nothing is known of their error",
                fix: "measure more dots");
        }

        return Describe(best, x, y);
    }

    /// <summary>Natural logarithm of the unnormalised spread, without underflow at large radii.</summary>
    internal static double LogSpread(double radius, double forward, double backscatter, double ratio)
    {
        double near = -radius * radius / (forward * forward) - 2 * Math.Log(forward);
        double far = -radius * radius / (backscatter * backscatter) - 2 * Math.Log(backscatter) + Math.Log(ratio);
        double larger = Math.Max(near, far);
        return larger + Math.Log(Math.Exp(near - larger) + Math.Exp(far - larger));
    }

    private static void RequireCoverage(IReadOnlyList<double> radii)
    {
        if (radii.Count < ParameterCount)
        {
            throw new CompileException(
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

    private static NonlinearMinimizationResult BestOf(Vector<double> x, Vector<double> y)
    {
        NonlinearMinimizationResult? best = null;
        foreach (Vector<double> start in StartingPoints(x, y))
        {
            if (TryFit(x, y, start) is { } result
                && (best is null || result.ModelInfoAtMinimum.Value < best.ModelInfoAtMinimum.Value))
            {
                best = result;
            }
        }

        return best ?? throw Misfit.Fault(
            CalibrationCodes.NotConverged,
            "no two-Gaussian spread describes these dots",
            "look for a misread line",
            Charges(y),
            Radii(x),
            rising: true);
    }

    private static Misfit.Values Charges(Vector<double> logarithms) => new("charge", [.. logarithms.Select(Math.Exp)], "fC");

    private static Misfit.Values Radii(Vector<double> radii) => new("radius", [.. radii], "nm");

    /// <summary>The fit from one starting point; null if it does not settle on numbers.</summary>
    private static NonlinearMinimizationResult? TryFit(Vector<double> x, Vector<double> y, Vector<double> start)
    {
        NonlinearMinimizationResult result;
        try
        {
            IObjectiveModel model = ObjectiveFunction.NonlinearModel(Predict, x, y, accuracyOrder: 6);
            result = new LevenbergMarquardtMinimizer(maximumIterations: 500).FindMinimum(model, start);
        }
        catch (Exception fault) when (fault is not OutOfMemoryException)
        {
            // The library throws exceptions of many kinds where its steps leave what numbers can hold.
            return null;
        }

        bool settled = result.ReasonForExit is ExitCondition.Converged or ExitCondition.RelativeGradient
            or ExitCondition.RelativePoints or ExitCondition.AbsoluteGradient;
        return settled && double.IsFinite(result.ModelInfoAtMinimum.Value) && result.MinimizingPoint.All(double.IsFinite) ? result : null;
    }

    private static IEnumerable<Vector<double>> StartingPoints(Vector<double> x, Vector<double> y)
    {
        double smallest = x.Minimum();
        double largest = x.Maximum();
        foreach (double forward in StartingForwardFractions)
        {
            foreach (double backscatter in StartingBackscatterFractions)
            {
                foreach (double ratio in StartingRatios)
                {
                    double a = Math.Max(smallest, 1) * forward;
                    double b = Math.Max(largest * backscatter, 2 * a);
                    double constant = y.Select((value, i) => value + LogSpread(x[i], a, b, ratio)).Average();
                    yield return Vector<double>.Build.DenseOfArray([Math.Log(a), Math.Log(b), Math.Log(ratio), constant]);
                }
            }
        }
    }

    private static Vector<double> Predict(Vector<double> p, Vector<double> x) =>
        x.Map(r => p[3] - LogSpread(r, Math.Exp(p[0]), Math.Exp(p[1]), Math.Exp(p[2])));

    private static SpreadFit Describe(NonlinearMinimizationResult result, Vector<double> x, Vector<double> y)
    {
        Vector<double> p = result.MinimizingPoint;
        Vector<double> residuals = y - Predict(p, x);
        int degreesOfFreedom = x.Count - ParameterCount;
        double sumOfSquares = residuals.DotProduct(residuals);
        Matrix<double> covariance = LogCovariance(p, x, y, sumOfSquares, degreesOfFreedom);
        FitParameter Parameter(string name, string unit, int i) =>
            ConfidenceInterval.Positive(name, unit, Math.Exp(p[i]), Math.Sqrt(covariance[i, i]), degreesOfFreedom);
        return new SpreadFit(
            Parameter("forward", "nm", 0),
            Parameter("backscatter", "nm", 1),
            Parameter("ratio", "", 2),
            Math.Sqrt(sumOfSquares / x.Count),
            p[3])
        {
            DegreesOfFreedom = degreesOfFreedom,
            LogCovariance = [.. covariance.ToRowMajorArray()],
        };
    }

    /// <summary>Change of ln(charge) at a radius with one parameter (a logarithm, or the constant), in closed form.</summary>
    internal static double LogChargeSlope(double r, int parameter, double a, double b, double ratio)
    {
        double far = Math.Exp(-r * r / (b * b) - 2 * Math.Log(b) + Math.Log(ratio) - LogSpread(r, a, b, ratio));
        return parameter switch
        {
            0 => -(1 - far) * (2 * r * r / (a * a) - 2),
            1 => -far * (2 * r * r / (b * b) - 2),
            2 => -far,
            _ => 1,
        };
    }

    // Covariance s²·(JᵀJ)⁻¹ of the logarithms at the minimum; the Jacobian in closed form.
    private static Matrix<double> LogCovariance(Vector<double> p, Vector<double> x, Vector<double> y, double sumOfSquares, int degreesOfFreedom)
    {
        Matrix<double> jacobian = Matrix<double>.Build.Dense(
            x.Count, ParameterCount, (i, j) => LogChargeSlope(x[i], j, Math.Exp(p[0]), Math.Exp(p[1]), Math.Exp(p[2])));
        Matrix<double> normal = jacobian.TransposeThisAndMultiply(jacobian);
        if (!normal.Enumerate().All(double.IsFinite) || !(normal.ConditionNumber() < 1e14))
        {
            throw Misfit.Fault(
                CalibrationCodes.Undetermined,
                "the dots do not separate the forward from the backscattered range",
                "measure dots at more radii between the two ranges",
                Charges(y),
                Radii(x),
                rising: true);
        }

        double variance = degreesOfFreedom > 0 ? sumOfSquares / degreesOfFreedom : double.NaN;
        return variance * normal.Inverse();
    }
}
