using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Calibration.BlankerDelay;

/// <summary>
/// Fits blanker delays: at speed v a blanker that turns off late by t leaves a tail of length v·t beyond the line's end,
/// and one that turns on late leaves the first v·t unwritten. The slope of length against speed is the delay; the
/// intercept holds whatever does not depend on speed.
/// </summary>
public static class BlankerDelayFitter
{
    /// <summary>Fits speeds (nm/µs) against tail lengths and missing head lengths (nm).</summary>
    public static BlankerDelayFit Fit(
        IReadOnlyList<double> speeds,
        IReadOnlyList<double> tails,
        IReadOnlyList<double> heads,
        DiagnosticSink sink)
    {
        LinearFit tail = FitLine(speeds, tails);
        LinearFit head = FitLine(speeds, heads);
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

    private static LinearFit FitLine(IReadOnlyList<double> speeds, IReadOnlyList<double> lengths)
    {
        // Speed in nm/µs over a scale near 1 keeps both columns of like size for the dependence test.
        double scale = speeds.Max();
        var design = new double[speeds.Count, 2];
        for (int i = 0; i < speeds.Count; i++)
        {
            design[i, 0] = 1;
            design[i, 1] = speeds[i] / scale;
        }

        return LinearFit.Solve(design, [.. lengths]).Rescaled(1, 1 / scale);
    }

    private static FitParameter Parameter(LinearFit fit, int column, string name, string unit) =>
        ConfidenceInterval.Symmetric(name, unit, fit.Coefficients[column], fit.StandardError(column), fit.DegreesOfFreedom);
}
