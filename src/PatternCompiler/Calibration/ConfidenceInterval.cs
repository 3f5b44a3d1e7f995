using MathNet.Numerics.Distributions;

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
            return new FitParameter(name, unit, value, double.NaN, double.NaN, double.NaN);
        }

        double halfWidth = Quantile(degreesOfFreedom) * standardError;
        return new FitParameter(name, unit, value, standardError, value - halfWidth, value + halfWidth);
    }

    /// <summary>
    /// A positive parameter whose logarithm is normally distributed: the interval stays above zero. The standard error
    /// given is that of the natural logarithm.
    /// </summary>
    public static FitParameter Positive(string name, string unit, double value, double logarithmStandardError, int degreesOfFreedom)
    {
        if (degreesOfFreedom < 1)
        {
            return new FitParameter(name, unit, value, double.NaN, double.NaN, double.NaN);
        }

        double spread = Math.Exp(Quantile(degreesOfFreedom) * logarithmStandardError);
        return new FitParameter(name, unit, value, value * logarithmStandardError, value / spread, value * spread);
    }

    /// <summary>Half width of an interval over the standard error; not a number with no degree of freedom left.</summary>
    public static double HalfWidths(int degreesOfFreedom) => degreesOfFreedom < 1 ? double.NaN : Quantile(degreesOfFreedom);

    private static double Quantile(int degreesOfFreedom) => StudentT.InvCDF(0, 1, degreesOfFreedom, UpperTail);
}
