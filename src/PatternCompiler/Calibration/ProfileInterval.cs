namespace PatternCompiler.Calibration;

/// <summary>
/// Ends of a 95% interval by profile likelihood: a parameter is held at a value, all others are fitted again, and the value is
/// inside as long as the sum of squares stays below minimum·(1 + t²/ν), t being Student's quantile for ν spare measurements
/// (D. M. Bates and D. G. Watts, Nonlinear Regression Analysis and Its Applications, Wiley 1988, ch. 6, from memory). It holds
/// where the model is bent and an interval by standard errors is too short on one side.
/// </summary>
internal static class ProfileInterval
{
    private const int MostSteps = 60;
    private const double Close = 1e-5;
    private const double LargestGrowth = 4;

    /// <summary>Both ends; infinite where nothing bounds the parameter.</summary>
    /// <param name="squaresAt">Least sum of squares with the parameter held at a value; infinite where there is no model.</param>
    /// <param name="best">The parameter's value at the minimum.</param>
    /// <param name="minimum">Sum of squares there.</param>
    /// <param name="variance">Variance of one measurement.</param>
    /// <param name="step">A first guess of a standard error.</param>
    /// <param name="reach">Further off than this the parameter counts as unbounded.</param>
    /// <param name="degreesOfFreedom">Spare measurements.</param>
    public static (double Low, double High) Find(
        Func<double, double> squaresAt, double best, double minimum, double variance, double step, double reach, int degreesOfFreedom)
    {
        double quantile = ConfidenceInterval.HalfWidths(degreesOfFreedom);
        if (!(variance > 0) || !double.IsFinite(quantile))
        {
            return (best, best);
        }

        // Of so large a value, steps within reach are lost in rounding.
        double least = 1e-12 * (1 + Math.Abs(best));
        if (!(least <= reach / 2))
        {
            return (double.NegativeInfinity, double.PositiveInfinity);
        }

        double first = Math.Clamp(step * quantile, least, reach / 2);
        return (best - Distance(-1), best + Distance(1));

        // Root of (squares − minimum)/variance = quantile², between the last value inside and the first one outside; its
        // square root is nearly straight.
        double Distance(int sign)
        {
            double Deviations(double away) => Math.Sqrt(Math.Max(0, squaresAt(best + (sign * away)) - minimum) / variance) - quantile;
            (double inside, double insideValue) = (0, -quantile);
            double outside = first;
            double outsideValue = Deviations(outside);
            while (!(outsideValue > 0))
            {
                if (outside >= reach)
                {
                    return double.PositiveInfinity;
                }

                (inside, insideValue) = (outside, outsideValue);
                double growth = quantile / Math.Max(outsideValue + quantile, quantile / LargestGrowth);
                outside = Math.Min(reach, outside * Math.Max(1.2, 1.05 * growth));
                outsideValue = Deviations(outside);
            }

            int lastSide = 0;
            for (int i = 0; i < MostSteps && outside - inside > Close * outside; i++)
            {
                double next = double.IsFinite(outsideValue) && i % 4 != 3
                    ? inside + ((outside - inside) * insideValue / (insideValue - outsideValue))
                    : (inside + outside) / 2;
                double value = Deviations(next);
                if (value > 0)
                {
                    (outside, outsideValue) = (next, value);
                    insideValue = lastSide > 0 ? insideValue / 2 : insideValue;
                    lastSide = 1;
                }
                else
                {
                    (inside, insideValue) = (next, value);
                    outsideValue = lastSide < 0 ? outsideValue / 2 : outsideValue;
                    lastSide = -1;
                }
            }

            return (inside + outside) / 2;
        }
    }
}
