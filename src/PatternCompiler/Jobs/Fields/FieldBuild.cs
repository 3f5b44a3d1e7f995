using System.Collections.Immutable;
using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs.Report;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Jobs.Fields;

/// <summary>Builds every write field into outputs of its own, and the manifest that lists them.</summary>
internal static class FieldBuild
{
    private const long FemtometresPerPicometre = 1000;

    /// <summary>Builds a pattern that is divided.</summary>
    public static BuiltExposure Run(
        BuildSettings settings, DividedPattern divided, BuildOutputs outputs, BuildReport? report, DiagnosticSink sink, CancellationToken cancellation)
    {
        (Job job, var machine, _) = settings;
        RequireFiles(job);
        FieldPlan plan = divided.Plan;
        RequireReach(divided, new DacMapping(machine.Dac, machine.Deflection));
        string manifestPath = ManifestPath(job);
        IReadOnlyList<((double X, double Y) Reading, double MoveSeconds)> tour = StageTour.Of(plan, machine.Stage, sink);
        JumpFigures? jumpFigures = ExposureBuild.JumpFiguresFor(settings);
        var estimator = new Estimator(machine, settings.Process, jumpFigures);
        var joined = new JoinedRecords(estimator);
        report?.See(new FiguresDocument(divided.Figures[0].Header, [.. divided.Figures.SelectMany(document => document.Figures)]));
        PlacedStrokes? placed = report is null ? null : new PlacedStrokes(report.Strokes);
        List<IDocumentSink<StrokesHeader, Stroke>> strokesToo = [.. jumpFigures is null ? Array.Empty<JumpFigures>() : [jumpFigures], .. placed is null ? Array.Empty<PlacedStrokes>() : [placed]];
        var messages = new FieldMessages();
        var visits = ImmutableArray.CreateBuilder<FieldVisit>(plan.Fields.Length);
        StrokeTotals strokes = new(0, 0, 0, 0, 0, 0);
        ExposureTotals records = new(0, 0, 0, 0, 0, 0, 0);
        StrokesReport filled = StrokesReport.Empty;
        outputs.Close();
        int figuresBefore = 0;
        for (int i = 0; i < plan.Fields.Length; i++)
        {
            WriteField field = plan.Fields[i];
            estimator.BeginField(field.Name);
            FiguresDocument figures = divided.Figures[i];
            placed?.Place(
                field.Centre.X * plan.GridPicometres * FemtometresPerPicometre, field.Centre.Y * plan.GridPicometres * FemtometresPerPicometre, figuresBefore);
            try
            {
                (StrokeTotals someStrokes, ExposureTotals someRecords, StrokesReport someFilled) = ExposureBuild.Run(
                    settings with { Job = JobOf(job, field) }, figures, strokesToo, [joined], outputs, messages.SinkOf(field), cancellation);
                strokes = Sum(strokes, someStrokes);
                records = Sum(records, someRecords);
                filled = filled.With(someFilled);
                ((double x, double y), double move) = tour[i];
                visits.Add(new FieldVisit(
                    field, x, y, figures.Figures.Count, move, someRecords.Ticks / machine.Clock.Hertz, [.. outputs.Close().Select(file => FieldFile.Of(file, manifestPath))]));
            }
            catch (CompileException fault)
            {
                messages.ReportTo(sink);
                throw FieldMessages.In(field, fault);
            }

            figuresBefore += figures.Figures.Count;
        }

        joined.Complete();
        placed?.Complete();
        messages.ReportTo(sink);
        var manifest = new FieldManifest(job.Name, machine.Name, plan, visits.DrainToImmutable());
        FieldManifestText.Write(manifest, outputs.Create(manifestPath, "manifest", isBinary: false));
        var stage = new StageEstimate(plan.Fields.Length, manifest.MoveSeconds);
        return new BuiltExposure(strokes, records, estimator.ToEstimate() with { Stage = stage, Fill = filled.Fill, StraysIfStraight = filled.IfStraight });
    }

    /// <summary>A distorted field may reach less far than its width says.</summary>
    private static void RequireReach(DividedPattern divided, DacMapping mapping)
    {
        for (int i = 0; i < divided.Figures.Length; i++)
        {
            try
            {
                FieldCheck.Run(divided.Figures[i], mapping);
            }
            catch (CompileException fault)
            {
                throw FieldMessages.In(divided.Plan.Fields[i], new CompileException(fault.Diagnostic with { Fix = "make the write fields smaller ('fields.size' in the job)" }, fault));
            }
        }
    }

    private static string ManifestPath(Job job) =>
        job.Fields?.ManifestPath ?? FieldNames.ManifestBeside(job.Outputs is [{ } first, ..] ? first.Path : job.Keep.Records ?? job.Keep.Strokes ?? job.Name);

    /// <summary>The job with the outputs of one field.</summary>
    private static Job JobOf(Job job, WriteField field) => job with
    {
        Outputs = [.. job.Outputs.Select(output => output with { Path = FieldNames.Of(output.Path, field) })],
        Keep = job.Keep with
        {
            Strokes = job.Keep.Strokes is string strokes ? FieldNames.Of(strokes, field) : null,
            Records = job.Keep.Records is string records ? FieldNames.Of(records, field) : null,
        },
    };

    private static void RequireFiles(Job job)
    {
        const string StandardOutput = "-";
        if (job.Outputs.Select(output => output.Path).Concat([job.Keep.Strokes, job.Keep.Records]).Contains(StandardOutput))
        {
            throw new CompileException(
                FieldCodes.BadSetting,
                "the write fields of a job cannot all go to standard output",
                fix: "name a file, which every field gets with its own name added, or use 'patternc split --field'");
        }
    }

    private static StrokeTotals Sum(StrokeTotals a, StrokeTotals b) => new(
        a.Jumps + b.Jumps, a.Lines + b.Lines, a.Dots + b.Dots, a.Points + b.Points, a.FigureChanges + b.FigureChanges, a.ChargeZeptocoulombs + b.ChargeZeptocoulombs);

    private static ExposureTotals Sum(ExposureTotals a, ExposureTotals b) => new(
        a.Records + b.Records,
        a.Jumps + b.Jumps,
        a.Points + b.Points,
        a.ExposedTicks + b.ExposedTicks,
        a.SettleTicks + b.SettleTicks,
        a.WaitTicks + b.WaitTicks,
        a.ShortestDwellTicks == 0 || (b.ShortestDwellTicks > 0 && b.ShortestDwellTicks < a.ShortestDwellTicks) ? b.ShortestDwellTicks : a.ShortestDwellTicks);
}
