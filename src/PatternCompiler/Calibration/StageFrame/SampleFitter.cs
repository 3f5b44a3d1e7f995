using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.StageFrame;

/// <summary>
/// Fits how a sample lies on the stage, from readings of the stage at marks whose places in the pattern are known: through the stage's
/// frame, by the equations of alignments. Where marks were brought into focus, also the plane in which they lie.
/// </summary>
internal static class SampleFitter
{
    private const int FewestForPlane = 3;

    /// <summary>Fits.</summary>
    /// <param name="readings">Readings at marks of known places.</param>
    /// <param name="stage">The stage with its frame.</param>
    /// <param name="wanted">What is fitted; null for what the marks tell with one to spare.</param>
    /// <param name="sink">Takes what is left out, and doubts.</param>
    /// <exception cref="CompileException">The readings do not tell the model.</exception>
    public static SampleFit Fit(IReadOnlyList<StageReading> readings, Stage stage, AlignmentModel? wanted, DiagnosticSink sink)
    {
        AlignmentFit fit = AlignmentFitter.Fit([.. readings.Select(reading => MarkOf(reading, stage))], wanted, sink);
        StageReading[] focused = [.. readings.Where(reading => !double.IsNaN(reading.Focus))];
        if (focused.Length is > 0 and < FewestForPlane)
        {
            throw new CompileException(
                CalibrationCodes.TooFewMeasurements,
                $"{CountText.Of(focused.Length, "mark was", "marks were")} brought into focus, and a plane takes {FewestForPlane}",
                fix: "read the working distance at three corners at least, or leave the column 'focus' out");
        }

        return new SampleFit(fit, focused.Length == 0 ? null : FocusFit.Of(focused, sink));
    }

    /// <summary>Where a reading puts its mark along the beam's axes. What the stage has come to from the other side lies off by the backlash.</summary>
    private static AlignmentMark MarkOf(StageReading reading, Stage stage)
    {
        (double x, double y) = stage.PlaceAt(
            reading.ReadingX + Slack(reading.FromAboveX, stage.ApproachNanometres is (< 0, _), stage.BacklashNanometres.X),
            reading.ReadingY + Slack(reading.FromAboveY, stage.ApproachNanometres is (_, < 0), stage.BacklashNanometres.Y));
        return new AlignmentMark(reading.Name, reading.PlaceX, reading.PlaceY, x + reading.SeenX, y + reading.SeenY, reading.ErrorX, reading.ErrorY);
    }

    private static double Slack(bool isAbove, bool isUsuallyAbove, double backlash) => isAbove == isUsuallyAbove ? 0 : isAbove ? backlash : -backlash;
}

/// <summary>How a sample lies on the stage.</summary>
/// <param name="Placement">The pattern's places along the beam's axes.</param>
/// <param name="Focus">The plane in which it is in focus; null where nobody has looked.</param>
internal sealed record SampleFit(AlignmentFit Placement, FocusFit? Focus);

/// <summary>The plane through marks that were brought into focus.</summary>
/// <param name="Plane">The plane.</param>
/// <param name="Parameters">Its numbers with their intervals.</param>
/// <param name="Marks">How many marks.</param>
/// <param name="RootMeanSquareNanometres">Of what it leaves.</param>
internal sealed record FocusFit(FocusPlane Plane, IReadOnlyList<FitParameter> Parameters, int Marks, double RootMeanSquareNanometres)
{
    private const double Steepest = 0.2;

    /// <summary>Fits it.</summary>
    public static FocusFit Of(IReadOnlyList<StageReading> readings, DiagnosticSink sink)
    {
        double spread = Math.Max(1, readings.Max(r => Math.Max(Math.Abs(r.PlaceX), Math.Abs(r.PlaceY))));
        double middle = readings.Average(r => r.Focus);
        var design = new double[readings.Count, 3];
        for (int i = 0; i < readings.Count; i++)
        {
            (design[i, 0], design[i, 1], design[i, 2]) = (1, readings[i].PlaceX / spread, readings[i].PlaceY / spread);
        }

        LinearFit fit = LinearFit.Solve(design, [.. readings.Select(r => r.Focus - middle)]);
        double[] c = fit.Coefficients;
        if (fit.DegreesOfFreedom == 0)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                $"{readings.Count} marks in focus leave none to spare, so the quality of their plane is unknown", fix: $"bring {readings.Count + 1} marks into focus at least");
        }

        if (Math.Max(Math.Abs(c[1]), Math.Abs(c[2])) > Steepest * spread)
        {
            throw new CompileException(
                CalibrationCodes.Contradiction, "the marks in focus lie in a plane steeper than one in five", fix: "look for exchanged columns or another unit of 'focus'");
        }

        return new FocusFit(
            new FocusPlane(middle + c[0], c[1] / spread, c[2] / spread),
            [
                ConfidenceInterval.Symmetric("focus at origin", "nm", middle + c[0], fit.StandardError(0), fit.DegreesOfFreedom),
                ConfidenceInterval.Symmetric("slope-x", "", c[1] / spread, fit.StandardError(1) / spread, fit.DegreesOfFreedom),
                ConfidenceInterval.Symmetric("slope-y", "", c[2] / spread, fit.StandardError(2) / spread, fit.DegreesOfFreedom),
            ],
            readings.Count,
            Math.Sqrt(fit.Residuals.Average(r => r * r)));
    }
}
