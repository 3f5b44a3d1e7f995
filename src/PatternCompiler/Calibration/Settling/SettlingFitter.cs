using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Calibration.Settling;

/// <summary>
/// Fits settling: a first-order deflection that was sent over a jump J is still J·e^(−(t−t₀)/τ) away after the wait t. The
/// squares of the displacements themselves are made least, because it is they that are measured with an even error. Intervals are
/// by profile likelihood.
/// </summary>
internal static class SettlingFitter
{
    private const int ParameterCount = 2;
    private const int MostBars = 10_000;

    /// <summary>
    /// Displacements of which the best curve explains less than this part, as a root mean square, show no settling: common practice,
    /// no source.
    /// </summary>
    private const double LargestResidual = 0.5;

    // A factor of a million in the time constant, and as many time constants of dead time.
    private const double Reach = 14;

    /// <summary>Fits jumps (nm) and waits (µs) against displacements (nm).</summary>
    public static SettlingFit Fit(IReadOnlyList<double> jumps, IReadOnlyList<double> waits, IReadOnlyList<double> displacements, DiagnosticSink sink)
    {
        if (jumps.Count > MostBars)
        {
            throw new CompileException(CalibrationCodes.BadTable, $"{jumps.Count} bars are too many to fit; at most {MostBars} are fitted", fix: "fit a part of them");
        }

        (double level, double rate) = Start(jumps, waits, displacements);
        NonlinearFit? fit = NonlinearFit.Solve(Evaluate, jumps.Count, [-Math.Log(rate), level / rate]);
        double all = displacements.Sum(displacement => displacement * displacement);
        if (fit is null || !(fit.SumOfSquares <= LargestResidual * LargestResidual * all) || !fit.Parameters.All(double.IsFinite))
        {
            throw Misfit.Fault(
                CalibrationCodes.NotConverged,
                $"no settling describes these displacements{(fit is null ? "" : $": the best leaves {100 * Math.Sqrt(fit.SumOfSquares / all):0} % of them (root mean square), more than {100 * LargestResidual:0} %")}",
                "look for a misread line or a wrong column",
                new("wait", waits, "us"),
                new("displacement", displacements, "nm"),
                rising: false);
        }

        if (fit.DegreesOfFreedom == 0)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                "two measurements determine time constant and dead time exactly, so nothing is known of their error",
                fix: "write the target with more waits");
        }

        return Describe(fit);

        // Parameters are the logarithm of the time constant and the dead time.
        bool Evaluate(ReadOnlySpan<double> p, Span<double> residuals, Span<double> slopes)
        {
            double constant = Math.Exp(p[0]);
            for (int i = 0; i < residuals.Length; i++)
            {
                double gone = (waits[i] - p[1]) / constant;
                double left = jumps[i] * Math.Exp(-gone);
                residuals[i] = displacements[i] - left;
                slopes[i * ParameterCount] = -left * gone;
                slopes[i * ParameterCount + 1] = -left / constant;
            }

            return constant > 0 && double.IsFinite(constant);
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

        int furthest = seen.MaxBy(i => displacements[i]);
        if (seen.All(i => waits[i] == waits[furthest]))
        {
            // By the size of the displacement alone, as if there were no dead time.
            double about = waits[furthest] / Math.Log(jumps[furthest] / displacements[furthest]);
            string others = about > 0 ? FormattableString.Invariant($", for example after {waits[furthest] - about / 2:0.#}, {waits[furthest] + about / 2:0.#} and {waits[furthest] + about:0.#} us") : "";
            throw new CompileException(
                CalibrationCodes.NotCovered,
                FormattableString.Invariant($"bars are displaced after a single wait, {waits[furthest]:0.###} us, which tells nothing of how the displacement falls"),
                fix: $"write the target with waits close to that one, too{others}");
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

    private static SettlingFit Describe(NonlinearFit fit)
    {
        double constant = Math.Exp(fit.Parameters[0]);
        double dead = fit.Parameters[1];
        (double shortest, double longest, double first, double last) = (double.NaN, double.NaN, double.NaN, double.NaN);
        if (fit.DegreesOfFreedom > 0)
        {
            (shortest, longest) = fit.Interval(0, Reach);
            (first, last) = fit.Interval(1, Reach * constant);
        }

        return new SettlingFit(
            ConfidenceInterval.Of("time-constant", "us", constant, Math.Exp(shortest), Math.Exp(longest), fit.DegreesOfFreedom),
            ConfidenceInterval.Of("dead-time", "us", dead, first, last, fit.DegreesOfFreedom))
        {
            RootMeanSquareNanometres = Math.Sqrt(fit.SumOfSquares / (fit.DegreesOfFreedom + ParameterCount)),
            DegreesOfFreedom = fit.DegreesOfFreedom,
            Line = (dead / constant, 1 / constant),
            LogCovariance = (fit.Covariance[0, 0], fit.Covariance[1, 1], fit.Covariance[0, 1]),
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
