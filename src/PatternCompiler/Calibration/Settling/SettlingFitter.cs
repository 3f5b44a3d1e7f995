using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Calibration.Settling;

/// <summary>
/// Fits settling: a first-order deflection that was sent over a jump J is still J·e^(−(t−t₀)/τ) away after the wait t. The
/// squares of the displacements themselves are made least, because it is they that are measured with an even error, by
/// Gauss–Newton steps on level t₀/τ and rate 1/τ.
/// </summary>
public static class SettlingFitter
{
    private const int MostSteps = 200;
    private const int MostHalvings = 40;
    private const double Settled = 1e-13;

    /// <summary>Fits jumps (nm) and waits (µs) against displacements (nm).</summary>
    public static SettlingFit Fit(IReadOnlyList<double> jumps, IReadOnlyList<double> waits, IReadOnlyList<double> displacements, DiagnosticSink sink)
    {
        (double level, double rate) = Start(jumps, waits, displacements);
        double squares = Squares(level, rate);
        LinearFit step = Step(level, rate);
        for (int count = 0; ; count++)
        {
            double part = 1;
            double newLevel, newRate, newSquares;
            int halvings = 0;
            do
            {
                newLevel = level + (part * step.Coefficients[0]);
                newRate = rate + (part * step.Coefficients[1]);
                newSquares = Squares(newLevel, newRate);
                part /= 2;
            }
            while (!(newSquares <= squares) && ++halvings < MostHalvings);

            bool isSettled = halvings == MostHalvings
                || (Math.Abs(newLevel - level) <= Settled * (1 + Math.Abs(level)) && Math.Abs(newRate - rate) <= Settled * Math.Abs(rate));
            if (halvings < MostHalvings)
            {
                (level, rate, squares) = (newLevel, newRate, newSquares);
                step = Step(level, rate);
            }

            if (isSettled)
            {
                break;
            }

            if (count == MostSteps)
            {
                throw Misfit.Fault(
                    CalibrationCodes.NotConverged,
                    "no settling describes these displacements",
                    "look for a misread line",
                    new("wait", waits, "us"),
                    new("displacement", displacements, "nm"),
                    rising: false);
            }
        }

        if (!(rate > 0))
        {
            throw Rising(waits, displacements);
        }

        if (step.DegreesOfFreedom == 0)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                "two measurements determine time constant and dead time exactly, so nothing is known of their error",
                fix: "write the target with more waits");
        }

        return Describe(level, rate, squares, step);

        double Squares(double atLevel, double atRate)
        {
            double sum = 0;
            for (int i = 0; i < jumps.Count; i++)
            {
                double error = displacements[i] - (jumps[i] * Math.Exp(atLevel - (atRate * waits[i])));
                sum += error * error;
            }

            return sum;
        }

        LinearFit Step(double atLevel, double atRate)
        {
            var design = new double[jumps.Count, 2];
            var errors = new double[jumps.Count];
            for (int i = 0; i < jumps.Count; i++)
            {
                double left = jumps[i] * Math.Exp(atLevel - (atRate * waits[i]));
                design[i, 0] = left;
                design[i, 1] = -waits[i] * left;
                errors[i] = displacements[i] - left;
            }

            return LinearFit.Solve(design, errors);
        }
    }

    /// <summary>A straight line through the logarithms, each weighted by its displacement: small ones are mostly error.</summary>
    private static (double Level, double Rate) Start(IReadOnlyList<double> jumps, IReadOnlyList<double> waits, IReadOnlyList<double> displacements)
    {
        int[] seen = [.. Enumerable.Range(0, jumps.Count).Where(i => displacements[i] > 0)];
        if (seen.Length < 2)
        {
            throw new CompileException(
                CalibrationCodes.NotCovered,
                $"{seen.Length} of {jumps.Count} bars are displaced, which tells nothing of how the displacement falls",
                fix: "write the target with shorter waits, too");
        }

        var design = new double[seen.Length, 2];
        var values = new double[seen.Length];
        for (int row = 0; row < seen.Length; row++)
        {
            int i = seen[row];
            design[row, 0] = displacements[i];
            design[row, 1] = -waits[i] * displacements[i];
            values[row] = Math.Log(displacements[i] / jumps[i]) * displacements[i];
        }

        double[] line = LinearFit.Solve(design, values).Coefficients;
        return line[1] > 0 ? (line[0], line[1]) : throw Rising(waits, displacements);
    }

    private static SettlingFit Describe(double level, double rate, double squares, LinearFit fit)
    {
        double varianceOfLevel = fit.Covariance(0, 0);
        double varianceOfRate = fit.Covariance(1, 1);
        double both = fit.Covariance(0, 1);
        double dead = level / rate;
        double errorOfDead = Math.Sqrt(varianceOfLevel - (2 * dead * both) + (dead * dead * varianceOfRate)) / rate;
        return new SettlingFit(
            ConfidenceInterval.Positive("time-constant", "us", 1 / rate, Math.Sqrt(varianceOfRate) / rate, fit.DegreesOfFreedom),
            ConfidenceInterval.Symmetric("dead-time", "us", dead, errorOfDead, fit.DegreesOfFreedom))
        {
            RootMeanSquareNanometres = Math.Sqrt(squares / fit.Residuals.Length),
            DegreesOfFreedom = fit.DegreesOfFreedom,
            Line = (level, rate),
            LineCovariance = (varianceOfLevel, varianceOfRate, both),
        };
    }

    private static CompileException Rising(IReadOnlyList<double> waits, IReadOnlyList<double> displacements) => Misfit.Fault(
        CalibrationCodes.NotCovered,
        "the displacements do not fall with the wait",
        "write the target with waits that are further apart, and look for a misread line",
        new("wait", waits, "us"),
        new("displacement", displacements, "nm"),
        rising: false);
}
