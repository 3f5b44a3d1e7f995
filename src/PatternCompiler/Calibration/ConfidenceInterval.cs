using MathNet.Numerics.Distributions;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Calibration;

/// <summary>95% confidence intervals by Student's t distribution.</summary>
internal static class ConfidenceInterval
{
    private const double UpperTail = 0.975;

    /// <summary>
    /// A parameter whose estimate is normally distributed with the given standard error; unknown error with no degree
    /// of freedom left.
    /// </summary>
    public static FitParameter Symmetric(string name, string unit, double value, double standardError, int degreesOfFreedom)
    {
        if (degreesOfFreedom < 1)
        {
            return Determined(new FitParameter(name, unit, value, double.NaN, double.NaN, double.NaN), value);
        }

        double halfWidth = Quantile(degreesOfFreedom) * standardError;
        return Determined(new FitParameter(name, unit, value, standardError, value - halfWidth, value + halfWidth), value, halfWidth);
    }

    /// <summary>
    /// A positive parameter whose logarithm is normally distributed: the interval stays above zero. The standard error
    /// given is that of the natural logarithm.
    /// </summary>
    public static FitParameter Positive(string name, string unit, double value, double logarithmStandardError, int degreesOfFreedom)
    {
        if (degreesOfFreedom < 1)
        {
            return Determined(new FitParameter(name, unit, value, double.NaN, double.NaN, double.NaN), value, 1 / value);
        }

        double spread = Math.Exp(Quantile(degreesOfFreedom) * logarithmStandardError);
        return Determined(
            new FitParameter(name, unit, value, value * logarithmStandardError, value / spread, value * spread), 1 / value, value * spread);
    }

    /// <summary>
    /// A parameter with the ends of its interval; its standard error is what a symmetric interval of that width would have. Unknown
    /// error with no degree of freedom left; an end at 0 or at infinity where nothing bounds it.
    /// </summary>
    public static FitParameter Of(string name, string unit, double value, double low, double high, int degreesOfFreedom) => degreesOfFreedom < 1
        ? Determined(new FitParameter(name, unit, value, double.NaN, double.NaN, double.NaN), value)
        : Determined(new FitParameter(name, unit, value, (high - low) / (2 * Quantile(degreesOfFreedom)), low, high), value);

    /// <summary>Half width of an interval over the standard error; not a number with no degree of freedom left.</summary>
    public static double HalfWidths(int degreesOfFreedom) => degreesOfFreedom < 1 ? double.NaN : Quantile(degreesOfFreedom);

    /// <summary>A parameter whose interval reaches beyond what a number can hold is not determined at all.</summary>
    private static FitParameter Determined(FitParameter parameter, params ReadOnlySpan<double> results)
    {
        foreach (double result in results)
        {
            if (!double.IsFinite(result))
            {
                throw new CompileException(
                    CalibrationCodes.Undetermined,
                    $"nothing in the measurements tells {parameter.Name}: any value would fit them",
                    fix: "look for a misread line, and spread the measured points out");
            }
        }

        return parameter;
    }

    private static double Quantile(int degreesOfFreedom) => StudentT.InvCDF(0, 1, degreesOfFreedom, UpperTail);
}
