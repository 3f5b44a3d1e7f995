using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Calibration.BlankerDelay;

/// <summary>
/// Fits blanker delays: at speed v a blanker that turns off late by t leaves a tail of length v·t beyond the line's end,
/// and one that turns on late leaves the first v·t unwritten. The slope of length against speed is the delay; the
/// intercept holds whatever does not depend on speed.
/// </summary>
internal static class BlankerDelayFitter
{
    /// <summary>
    /// Lengths of which a line explains less than this part, as a root mean square, tell nothing: common practice, no source.
    /// </summary>
    private const double LargestResidual = 0.5;

    /// <summary>Fits speeds (nm/µs) against tail lengths and missing head lengths (nm).</summary>
    public static BlankerDelayFit Fit(
        IReadOnlyList<double> speeds,
        IReadOnlyList<double> tails,
        IReadOnlyList<double> heads,
        DiagnosticSink sink)
    {
        LinearFit tail = FitLine(speeds, tails, "tail");
        LinearFit head = FitLine(speeds, heads, "missing length");
        if (tail.DegreesOfFreedom == 0)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                "two speeds determine the delays exactly, so nothing is known of their error",
                fix: "write the target at more speeds");
        }

        return new BlankerDelayFit(
            Parameter(tail, 1, "off-delay", "us"),
            Parameter(head, 1, "on-delay", "us"),
            Parameter(tail, 0, "tail-offset", "nm"),
            Parameter(head, 0, "head-offset", "nm"))
        {
            DegreesOfFreedom = tail.DegreesOfFreedom,
            TailCovariance = tail.Covariance(0, 1),
            HeadCovariance = head.Covariance(0, 1),
        };
    }

    private static LinearFit FitLine(IReadOnlyList<double> speeds, IReadOnlyList<double> lengths, string name)
    {
        // Speed in nm/µs over a scale near 1 keeps both columns of like size for the dependence test.
        double scale = speeds.Max();
        var design = new double[speeds.Count, 2];
        for (int i = 0; i < speeds.Count; i++)
        {
            design[i, 0] = 1;
            design[i, 1] = speeds[i] / scale;
        }

        LinearFit fit = LinearFit.Solve(design, [.. lengths]).Rescaled(1, 1 / scale);
        FitParameter delay = Parameter(fit, 1, "delay", "us");
        double left = Math.Sqrt(fit.Residuals.Sum(residual => residual * residual));
        double all = Math.Sqrt(lengths.Sum(length => length * length));
        string problem = delay.High < 0 ? $"the {name} shrinks with the speed, by {-delay.Value:G3} us, and no delay is below zero"
            : left > LargestResidual * all ? $"a straight line leaves {100 * left / all:0} % of the {name}s (root mean square), more than {100 * LargestResidual:0} %: they do not tell how they depend on speed"
            : "";
        return problem.Length == 0
            ? fit
            : throw Misfit.Fault(
                delay.High < 0 ? CalibrationCodes.Contradiction : CalibrationCodes.NotConverged,
                problem,
                "look for exchanged columns, another unit or a misread line",
                new("speed", speeds, "nm/us"),
                new(name, lengths, "nm"),
                rising: true);
    }

    private static FitParameter Parameter(LinearFit fit, int column, string name, string unit) =>
        ConfidenceInterval.Symmetric(name, unit, fit.Coefficients[column], fit.StandardError(column), fit.DegreesOfFreedom);
}
