using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Fields;

/// <summary>What the stage does on its way from field to field.</summary>
internal static class StageTour
{
    private static readonly Stage Unknown = new(double.PositiveInfinity, 0);

    /// <summary>Reading of the stage at every field of a plan, and the time of the move that leads there; the first one takes none.</summary>
    /// <exception cref="CompileException">The stage does not reach a field.</exception>
    public static IReadOnlyList<((double X, double Y) Reading, double MoveSeconds)> Of(FieldPlan plan, Stage? stage, DiagnosticSink sink)
    {
        if (stage is null && plan.Fields.Length > 1)
        {
            sink.Note(FieldCodes.NoStage, "the machine file does not describe the stage, so its moves are counted as no time", fix: "add 'stage' to the machine file");
        }

        double nanometres = plan.GridPicometres / 1000.0;
        Stage used = stage ?? Unknown;
        List<((double, double), double)> visits = [];
        for (int i = 0; i < plan.Fields.Length; i++)
        {
            WriteField field = plan.Fields[i];
            (double X, double Y) reading = used.ReadingAt(field.Centre.X * nanometres, field.Centre.Y * nanometres);
            if (!used.Reaches(reading))
            {
                throw new CompileException(
                    FieldCodes.BeyondStage,
                    $"the field {field.Name} needs the stage reading ({Um(reading.X)}, {Um(reading.Y)}) um, which is beyond its range",
                    fix: "place the pattern elsewhere, or correct 'stage' in the machine file");
            }

            double move = i == 0
                ? 0
                : used.MoveSeconds(
                    ((double)field.Centre.X - plan.Fields[i - 1].Centre.X) * nanometres, ((double)field.Centre.Y - plan.Fields[i - 1].Centre.Y) * nanometres);
            visits.Add((reading, move));
        }

        return visits;
    }

    private static string Um(double nanometres) => NumberText.Format(Math.Round(nanometres / 1000, 4, MidpointRounding.AwayFromZero));
}
