using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>Judges an exposure while it is compiled: write time, limits of the hardware, link, stray lines, charge of figures.</summary>
internal sealed class ExposureJudge : ExposureWatcher
{
    private readonly Estimator estimator;
    private readonly JumpFigures? jumpFigures;
    private readonly JoinedRecords joined;
    private readonly bool hasReadings;
    private StrokeTotals strokes = StrokeTotals.None;
    private ExposureTotals records = ExposureTotals.None;
    private StrokesReport filled = StrokesReport.Empty;
    private FigureChargeEstimate? charge;
    private FieldPlan? plan;
    private double moveSeconds;
    private StageExtent? readings;

    /// <summary>Prepares a judgement.</summary>
    /// <param name="settings">Job, machine and process of the exposure.</param>
    public ExposureJudge(BuildSettings settings)
    {
        // Figures of each jump are kept where they are wanted: for machines that never blank, and for strict builds.
        jumpFigures = StrayScan.AlwaysExposes(settings.Machine) || settings.Job.IsStrict ? new JumpFigures() : null;
        estimator = new Estimator(settings.Machine, settings.Process, jumpFigures);
        joined = new JoinedRecords(estimator);
        hasReadings = settings.Machine.Stage is { } stage && (stage.Frame is not null || stage.ApproachNanometres is not null || settings.Job.Alignment is { Layers.Sample: not null });
    }

    /// <summary>Strokes of all positions of the stage so far; none where the run starts after them.</summary>
    public StrokeTotals StrokeTotals => strokes;

    /// <summary>Records of all positions of the stage so far.</summary>
    public ExposureTotals RecordTotals => records;

    /// <inheritdoc/>
    public override IDocumentSink<StrokesHeader, Stroke>? Strokes => jumpFigures;

    /// <inheritdoc/>
    public override IDocumentSink<RecordsHeader, DeflectionRecord>? Records => joined;

    /// <inheritdoc/>
    public override void See(FieldPlan plan) => this.plan = plan;

    /// <inheritdoc/>
    public override void Begin(StagePosition position)
    {
        if (position.Field is WriteField field)
        {
            estimator.BeginField(field.Name);
            if (hasReadings)
            {
                readings = StageExtent.With(StageExtent.With(readings, (position.StageXNanometres, position.StageYNanometres)), position.Details.StartNanometres ?? (position.StageXNanometres, position.StageYNanometres));
            }
        }

        moveSeconds += position.MoveSeconds;
    }

    /// <inheritdoc/>
    public override void End(ExposedPart part)
    {
        strokes = strokes.Plus(part.Strokes ?? StrokeTotals.None);
        records = records.Plus(part.Records);
        filled = filled.With(part.Filled);
        charge = charge is { } before && part.Charge is { } more ? before.With(more) : charge ?? part.Charge;
    }

    /// <inheritdoc/>
    public override void Complete() => joined.Complete();

    /// <summary>The judgement, when the exposure is complete.</summary>
    public ExposureEstimate ToEstimate() => estimator.ToEstimate() with
    {
        Fill = filled.Fill,
        StraysIfStraight = filled.IfStraight,
        Stage = plan is null ? null : new StageEstimate(plan.Fields.Length, moveSeconds) { Readings = readings },
        FigureCharge = charge is { Figures: > 0 } compared ? compared : null,
    };

    /// <summary>Reports the doubts of a judgement.</summary>
    public static void Report(ExposureEstimate estimate, DiagnosticSink sink)
    {
        foreach (Diagnostic warning in estimate.Warnings)
        {
            sink.Report(warning);
        }
    }
}
