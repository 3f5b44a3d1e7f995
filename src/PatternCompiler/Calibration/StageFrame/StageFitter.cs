using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.StageFrame;

/// <summary>
/// Fits how the stage's axes lie in the beam's field. Readings that the stage has come to from the side that most of them have in common
/// tell the frame and its origin, by the equations of alignments; the others how far a move from the other side ends short.
/// </summary>
internal static class StageFitter
{
    private const int FewestForAffine = 3;

    /// <summary>Fits.</summary>
    /// <param name="readings">Readings; with errors all, or none.</param>
    /// <param name="wanted">What is fitted; null for an affine map from three readings on, else a similarity.</param>
    /// <param name="sink">Takes what is left out, and doubts.</param>
    /// <exception cref="CompileException">The readings do not tell the model.</exception>
    public static StageFit Fit(IReadOnlyList<StageReading> readings, AlignmentModel? wanted, DiagnosticSink sink)
    {
        (bool aboveX, bool aboveY) = (2 * readings.Count(r => r.FromAboveX) > readings.Count, 2 * readings.Count(r => r.FromAboveY) > readings.Count);
        StageReading[] used = [.. readings.Where(r => r.FromAboveX == aboveX && r.FromAboveY == aboveY)];
        AlignmentModel model = wanted ?? (used.Length >= FewestForAffine ? AlignmentModel.Affine : AlignmentModel.Similarity);
        if (used.Length < MarkEquations.ParametersOf(model) / 2)
        {
            throw new CompileException(
                CalibrationCodes.TooFewMeasurements,
                $"{Count(used.Length)} from {Side(aboveX)} in x and from {Side(aboveY)} in y, and {AlignmentFitter.Words(model)} takes {MarkEquations.ParametersOf(model) / 2}",
                fix: "read more marks, and come to all that tell the frame from the same side");
        }

        Stage rough = Rough(used);
        AlignmentMark[] marks = [.. used.Select(r => MarkOf(r, rough))];
        AlignmentFit fit = AlignmentFitter.Fit(marks, model, sink);
        (double byX, double byY) = fit.Placement.Drawn(0, 0);
        Stage frame = rough with
        {
            OriginNanometres = (rough.OriginNanometres.X + (rough.InvertX ? -byX : byX), rough.OriginNanometres.Y + (rough.InvertY ? -byY : byY)),
            Frame = fit.Placement with { OffsetXNanometres = 0, OffsetYNanometres = 0 },
        };
        string[] displaced = [.. fit.Marks.Where(mark => mark.State == MarkState.Displaced).Select(mark => mark.Mark.Name)];
        StageReading[] sound = [.. readings.Where(r => !displaced.Contains(r.Name))];
        return new StageFit(fit, frame, aboveX, aboveY, BacklashFitter.Fit(sound, frame, isX: true, aboveX), BacklashFitter.Fit(sound, frame, isX: false, aboveY));
    }

    /// <summary>Which axes are inverted, and about where the origin lies, so that what is left to be fitted is small.</summary>
    private static Stage Rough(StageReading[] used)
    {
        (double X, double Y) middle = (used.Average(r => r.ReadingX), used.Average(r => r.ReadingY));
        var plain = new Stage(double.PositiveInfinity, 0) { OriginNanometres = middle };
        AlignmentMark[] marks = [.. used.Select(r => MarkOf(r, plain) with { ErrorX = 1, ErrorY = 1 })];

        // Two readings do not tell a mirrored axis: none is taken.
        var equations = new MarkEquations(marks, used.Length >= FewestForAffine ? AlignmentModel.Affine : AlignmentModel.Similarity);
        (double xx, double xy, double yx, double yy, double x, double y) = equations.Map(equations.Fit.Coefficients);

        // The x axis lies within a quarter turn of the field's; what is then still mirrored is the y axis.
        bool isMirrored = xx * yy < xy * yx, invertX = xx < 0;
        (double byX, double byY) = new LayerPlacement(xx, xy, x, yx, yy, y).Drawn(0, 0);
        return plain with { InvertX = invertX, InvertY = invertX != isMirrored, OriginNanometres = double.IsFinite(byX) && double.IsFinite(byY) ? (middle.X + byX, middle.Y + byY) : middle };
    }

    private static AlignmentMark MarkOf(StageReading reading, Stage stage)
    {
        (double x, double y) = stage.PlaceAt(reading.ReadingX, reading.ReadingY);
        return new AlignmentMark(reading.Name, x, y, reading.Under.X, reading.Under.Y, reading.ErrorX, reading.ErrorY);
    }

    private static string Count(int readings) => CountText.Of(readings, "reading comes", "readings come");

    private static string Side(bool isAbove) => isAbove ? "above" : "below";
}

/// <summary>How the stage's axes lie in the beam's field.</summary>
/// <param name="Frame">The fit, from the stage's axes to the beam's.</param>
/// <param name="Stage">Origin, inverted axes and frame.</param>
/// <param name="IsFromAboveX">They hold for readings that the stage has come down to.</param>
/// <param name="IsFromAboveY">They hold for readings that the stage has come down to.</param>
/// <param name="BacklashX">In x; null where no reading tells it.</param>
/// <param name="BacklashY">In y; null where no reading tells it.</param>
internal sealed record StageFit(AlignmentFit Frame, Stage Stage, bool IsFromAboveX, bool IsFromAboveY, FitParameter? BacklashX, FitParameter? BacklashY);
