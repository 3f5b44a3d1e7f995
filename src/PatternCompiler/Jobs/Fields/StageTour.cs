using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Fields;

/// <summary>One stop of the stage on its way from field to field.</summary>
/// <param name="Reading">Reading of the stage, in nanometres.</param>
/// <param name="MoveSeconds">Time of the move that leads there.</param>
/// <param name="Details">What else there is to do and to know.</param>
internal sealed record TourStop((double X, double Y) Reading, double MoveSeconds, StopDetails Details);

/// <summary>What there is to a stop besides its reading.</summary>
/// <param name="StartNanometres">Reading from which the stage comes to it; null for anywhere.</param>
/// <param name="FocusNanometres">Reading of the working distance; null where it is not known.</param>
/// <param name="Remainder">How far the field's centre lies from the undeflected beam, which the deflection takes up.</param>
internal sealed record StopDetails((double X, double Y)? StartNanometres, double? FocusNanometres, (double X, double Y) Remainder)
{
    /// <summary>Nothing.</summary>
    public static StopDetails None { get; } = new(null, null, (0, 0));
}

/// <summary>What the stage does on its way from field to field.</summary>
internal static class StageTour
{
    private static readonly Stage Unknown = new(double.PositiveInfinity, 0);

    /// <summary>Reading of the stage at every field of a plan, and the time of the move that leads there; the first one takes none.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="machine">The machine, the job's alignment in its deflection.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <exception cref="CompileException">The stage does not reach a field.</exception>
    public static IReadOnlyList<TourStop> Of(FieldPlan plan, Machine machine, DiagnosticSink sink)
    {
        Stage used = machine.Stage ?? Unknown;
        if (plan.Fields.Length > 1)
        {
            Tell(machine.Stage, sink);
        }

        double nanometres = plan.GridPicometres / 1000.0;
        bool isTurned = used.Frame is not null || machine.Deflection.Alignment?.Sample is not null;
        List<TourStop> stops = [];
        for (int i = 0; i < plan.Fields.Length; i++)
        {
            WriteField field = plan.Fields[i];
            StageView view = StageView.Of(machine, field.Name, field.Centre.X * nanometres, field.Centre.Y * nanometres);
            (double X, double Y) reading = view.Stop.Reading;
            (double X, double Y)? start = used.ApproachNanometres is (double x, double y) ? (reading.X - x, reading.Y - y) : null;
            RequireReach(used, field, nanometres, reading, "needs");
            if (start is (double, double) from)
            {
                RequireReach(used, field, nanometres, from, "is approached from");
            }

            double move = i == 0 ? 0
                : isTurned || start is not null ? used.MoveSeconds(stops[i - 1].Reading, reading)
                : used.MoveSeconds(
                    ((double)field.Centre.X - plan.Fields[i - 1].Centre.X) * nanometres, ((double)field.Centre.Y - plan.Fields[i - 1].Centre.Y) * nanometres);
            stops.Add(new TourStop(reading, move, new StopDetails(start, view.FocusNanometres, view.Remainder)));
        }

        return stops;
    }

    private static void Tell(Stage? stage, DiagnosticSink sink)
    {
        if (stage is null)
        {
            sink.Note(FieldCodes.NoStage, "the machine file does not describe the stage, so its moves are counted as no time", fix: "add 'stage' to the machine file");
            return;
        }

        (double x, double y) = stage.BacklashNanometres;
        (double wayX, double wayY) = stage.ApproachNanometres ?? (0, 0);
        if ((x > 0 && Math.Abs(wayX) <= x) || (y > 0 && Math.Abs(wayY) <= y))
        {
            sink.Warn(
                FieldCodes.Backlash,
                stage.ApproachNanometres is null
                    ? $"the stage has a backlash of {Um(x)} um in x and {Um(y)} um in y, and comes to write fields from either side: fields may lie apart by so much"
                    : $"the stage has a backlash of {Um(x)} um in x and {Um(y)} um in y, and the way by which it comes to write fields is not longer: fields may lie apart by so much",
                fix: $"write 'approach: [{Um(Longer(x))} um, {Um(Longer(y))} um]' into 'stage' of the machine file, and come to every field from the reading that the manifest lists");
        }
    }

    private static double Longer(double backlash) => 3 * backlash;

    private static void RequireReach(Stage stage, WriteField field, double nanometres, (double X, double Y) reading, string how)
    {
        if (!stage.Reaches(reading))
        {
            // Where readings are those of the pattern's places, the place says nothing more.
            string place = stage is { Frame: null, OriginNanometres: (0, 0), InvertX: false, InvertY: false } ? "" : $" for its centre ({Um(field.Centre.X * nanometres)}, {Um(field.Centre.Y * nanometres)}) um";
            throw new CompileException(
                FieldCodes.BeyondStage,
                $"the field {field.Name} {how} the stage reading ({Um(reading.X)}, {Um(reading.Y)}) um{place}, which is beyond its range",
                fix: "place the pattern elsewhere, or correct 'stage' in the machine file");
        }
    }

    private static string Um(double nanometres) => NumberText.Format(Math.Round(nanometres / 1000, 4, MidpointRounding.AwayFromZero) + 0.0);
}
