using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Looks;

/// <summary>
/// A look as records that any receiver executes: window after window, rows from the top down, points from left to right, each the same
/// dwell with the beam on; the beam is off between rows. In this order samples come back.
/// </summary>
internal static class LookExposure
{
    private const double FemtometresPerNanometre = 1e6;
    private const double ZeptocoulombsPerCoulomb = 1e21;

    /// <summary>Pushes the records, and says what they do.</summary>
    /// <exception cref="CompileException">The machine cannot do it, or would not keep its points apart.</exception>
    public static void Write(LookPlan plan, BuildSettings settings, IDocumentSink<RecordsHeader, DeflectionRecord> output, DiagnosticSink sink)
    {
        LookSettings look = plan.Look;
        BuildSettings here = LookPlan.LookSettingsOf(settings);
        var records = new RecordsStage(here, output, sink);
        records.Begin(new StrokesHeader([look.MarksLayer]) { Exposure = SettingsDigests.Of(here.Process) });
        long charge = (long)Math.Round(here.Machine.Beam.CurrentAmperes * look.DwellSeconds * ZeptocoulombsPerCoulomb) * look.Points;
        for (int mark = 0; mark < look.Marks.Length; mark++)
        {
            for (int row = 0; row < look.Points; row++)
            {
                (double left, double y) = PlaceOf(look, look.Marks[mark], row, 0);
                (double right, _) = PlaceOf(look, look.Marks[mark], row, look.Points - 1);
                records.Write([
                    Stroke.Jump(mark, Femtometres(left), Femtometres(y)),
                    Stroke.Line(mark, Femtometres(left), Femtometres(y), Femtometres(right), Femtometres(y), look.Points, charge),
                ]);
            }
        }

        records.End();
        if (records.Records.Points != look.AllPoints)
        {
            throw new CompileException(
                LookCodes.PointsMerged,
                $"the records have {records.Records.Points} points, and the look has {look.AllPoints}",
                new SourcePlace(settings.Job.File),
                "dwell longer than the blanker's delays and the shortest dwell together ('looks.dwell')");
        }

        sink.Note(
            LookCodes.Planned,
            $"{CountText.Of(look.Marks.Length, "window", "windows")} of {look.Points} x {look.Points} points; {CountText.Of(look.Looks, "look brings", "looks bring")} {plan.DoseText}; "
            + $"the look's dose on the device is 0: no window, grown by {QuantityText.Format(look.WithinNanometres * 1e-9, Dimension.Length)}, meets what either layer writes");
    }

    /// <summary>Where a point of a window is asked to be, in nanometres.</summary>
    public static (double X, double Y) PlaceOf(LookSettings look, LookMark mark, double row, double column)
    {
        double middle = (look.Points - 1) / 2.0;
        return (mark.XNanometres + ((column - middle) * look.StepNanometres), mark.YNanometres + ((middle - row) * look.StepNanometres));
    }

    private static long Femtometres(double nanometres) => (long)Math.Round(nanometres * FemtometresPerNanometre);
}
