using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.DoseToSize;

/// <summary>
/// What the squares of a dose test tell of the energy at which the resist prints: their middles lack a little of a large area's
/// energy. Thicknesses go through the contrast curve; where it is only told which squares printed, the energy lies between the
/// last that did not and the first that did.
/// </summary>
/// <param name="LogThreshold">Natural logarithm of the energy (µC/cm²); not a number if the squares only bound it to one side.</param>
/// <param name="LogError">Its standard error; not a number if unknown.</param>
/// <param name="Contrast">The contrast curve, where thicknesses were given.</param>
/// <param name="Low">Energy up to which a square did not print; 0 if none.</param>
/// <param name="High">Energy from which a square printed; infinite if none.</param>
internal sealed record SquareReadings(double LogThreshold, double LogError, ContrastFit? Contrast, double Low, double High)
{
    private const double MicrocoulombsPerCoulomb = 100;

    /// <summary>Standard error of the clearing dose of a curve that is taken to be straight, as a part of its slope's length: common practice, no source.</summary>
    private const double BentPart = 0.05;

    /// <summary>Of a normal distribution, half of the interval that holds 95 %.</summary>
    public const double NormalHalfWidths = 1.959963984540054;

    /// <summary>Errors that are independent, together.</summary>
    public static double Hypotenuse(double a, double b) => Math.Sqrt((a * a) + (b * b));

    /// <summary>How the logarithm changes with a standard error of each range and ratio of the spread.</summary>
    public double[] SpreadSlopes { get; init; } = [];

    public bool Tells => !double.IsNaN(LogThreshold);

    /// <summary>Where they print, for messages.</summary>
    public string Where => Contrast is not null ? $"at {Math.Exp(LogThreshold):0.###} uC/cm2"
        : Tells ? $"between {Low:0.###} and {High:0.###} uC/cm2"
        : Low > 0 ? $"above {Low:0.###} uC/cm2"
        : $"below {High:0.###} uC/cm2";

    /// <summary>How far the logarithm of a threshold is from what they allow.</summary>
    public double Apart(double logThreshold) => Contrast is not null
        ? Math.Abs(logThreshold - LogThreshold)
        : Math.Max(0, Math.Max(Math.Log(Low) - logThreshold, logThreshold - Math.Log(High)));

    /// <summary>The logarithm of the threshold that they allow, some of their standard errors away at most, nearest to another.</summary>
    public double Nearest(double logThreshold, double errors)
    {
        double reach = double.IsNaN(LogError) ? 0 : errors * LogError;
        return Contrast is not null
            ? Math.Clamp(logThreshold, LogThreshold - reach, LogThreshold + reach)
            : Math.Clamp(logThreshold, Math.Log(Low), Math.Log(High));
    }

    /// <summary>Fits the squares among readings; null if there are none.</summary>
    public static SquareReadings? Of(IReadOnlyList<DoseReading> readings, SpreadFunction spread, SpreadError spreadError, ResistTone tone, DiagnosticSink sink)
    {
        int[] thick = [.. Enumerable.Range(0, readings.Count).Where(i => !double.IsNaN(readings[i].ThicknessNanometres))];
        int[] told = [.. Enumerable.Range(0, readings.Count).Where(i => readings[i].Prints is not null)];
        double Energy(int i) => readings[i].Dose * readings[i].Feature.MiddleEnergy(spread);
        int unused = thick.Length > 0 ? told.Except(thick).Count() : 0;
        if (unused > 0)
        {
            sink.Warn(
                CalibrationCodes.VerdictsNotUsed,
                $"{unused} squares say only whether they {ToneWords.Of(tone).Print}, and are not used beside those with a thickness",
                fix: "measure their thickness, too");
        }

        int[] used = thick.Length > 0 ? thick : told;
        if (used.Length == 0)
        {
            return null;
        }

        SquareReadings squares = thick.Length > 0 ? OfThicknesses(readings, thick, Energy, tone, sink) : OfVerdicts(readings, told, Energy, tone);
        return squares with { SpreadSlopes = spreadError.Slopes(other => used.Average(i => Math.Log(readings[i].Feature.MiddleEnergy(other)))) };
    }

    private static SquareReadings OfThicknesses(IReadOnlyList<DoseReading> readings, int[] rows, Func<int, double> energy, ResistTone tone, DiagnosticSink sink)
    {
        ContrastFit fit;
        try
        {
            fit = ContrastFitter.Fit([.. rows.Select(energy)], [.. rows.Select(i => readings[i].ThicknessNanometres)], null, tone, sink);
        }
        catch (CompileException fault)
        {
            throw new CompileException(Misfit.Renumbered(fault.Diagnostic, row => rows[row]), fault);
        }

        double threshold = MicrocoulombsPerCoulomb * fit.Response.PrintingCoulombsPerSquareMetre;
        (double low, double high) = tone == ResistTone.Positive
            ? (fit.Clearing.Low, fit.Clearing.High)
            : (Math.Sqrt(fit.Clearing.Low * fit.Onset.Low), Math.Sqrt(fit.Clearing.High * fit.Onset.High));
        // A straight curve is bent in truth, and a few squares on its slope do not tell how much.
        double bent = BentPart * Math.Log(fit.Clearing.Value / fit.Onset.Value);
        double halfWidths = ConfidenceInterval.HalfWidths(fit.DegreesOfFreedom);
        double error = fit.DegreesOfFreedom > 0 ? Hypotenuse(Math.Log(high / low) / (2 * halfWidths), bent) : double.NaN;
        return new SquareReadings(
            Math.Log(threshold),
            error,
            fit,
            threshold * Math.Exp(-Hypotenuse(Math.Log(low / threshold), NormalHalfWidths * bent)),
            threshold * Math.Exp(Hypotenuse(Math.Log(high / threshold), NormalHalfWidths * bent)));
    }

    private static SquareReadings OfVerdicts(IReadOnlyList<DoseReading> readings, int[] rows, Func<int, double> energy, ResistTone tone)
    {
        double low = rows.Where(i => readings[i].Prints == false).Select(energy).DefaultIfEmpty(0).Max();
        double high = rows.Where(i => readings[i].Prints == true).Select(energy).DefaultIfEmpty(double.PositiveInfinity).Min();
        if (low >= high)
        {
            bool isMirrored = rows.Where(i => readings[i].Prints == false).Select(energy).Min() >= rows.Where(i => readings[i].Prints == true).Select(energy).Max();
            ToneWords words = ToneWords.Of(tone);
            throw isMirrored
                ? new CompileException(
                    CalibrationCodes.WrongTone,
                    $"squares {words.Print} at low doses and not at high ones, as those of a {words.Opposite} resist",
                    fix: $"state --tone {words.Opposite}, or look for a column with yes and no exchanged")
                : new CompileException(new Diagnostic(
                    CalibrationCodes.Contradiction,
                    Severity.Error,
                    $"a square of {low:0.###} uC/cm2 in its middle does not {words.Print}, but one of {high:0.###} uC/cm2 does",
                    Fix: "look again at the squares between them, or leave those out that were damaged")
                {
                    Measurement = rows.Where(i => readings[i].Prints == false).MaxBy(energy),
                });
        }

        return low > 0 && double.IsFinite(high)
            ? new SquareReadings(Math.Log(low * high) / 2, Math.Log(high / low) / Math.Sqrt(12), null, low, high)
            : new SquareReadings(double.NaN, double.NaN, null, low, high);
    }
}
