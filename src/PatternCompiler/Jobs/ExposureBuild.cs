using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Report;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Passes.Timing;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Jobs;

/// <summary>The second half of a build: figures become strokes, records and outputs, streaming from stage to stage.</summary>
internal static class ExposureBuild
{
    /// <summary>Builds everything that is written from one position of the stage, into the outputs that the job names.</summary>
    public static BuiltExposure Run(
        BuildSettings settings, FiguresDocument figures, BuildOutputs outputs, BuildReport? report, DiagnosticSink sink, CancellationToken cancellation)
    {
        JumpFigures? jumpFigures = JumpFiguresFor(settings);
        var estimator = new Estimator(settings.Machine, settings.Process, jumpFigures);
        List<IDocumentSink<StrokesHeader, Stroke>> strokesToo = jumpFigures is null ? [] : [jumpFigures];
        List<IDocumentSink<RecordsHeader, DeflectionRecord>> recordsToo = [estimator];
        if (report is not null)
        {
            report.See(figures);
            strokesToo.Add(report.Strokes);
            recordsToo.Add(report.Records);
        }

        var charge = new FigureCharge(settings.Machine.Beam);
        (StrokeTotals strokes, ExposureTotals records, StrokesReport filled) = Run(settings, figures, strokesToo, recordsToo, outputs, sink, cancellation, charge);
        return new BuiltExposure(
            strokes, records, estimator.ToEstimate() with { Fill = filled.Fill, StraysIfStraight = filled.IfStraight, FigureCharge = charge.ToEstimate() });
    }

    /// <summary>The same, with strokes and records going to further sinks, too, and asked and delivered charge compared if wanted.</summary>
    public static (StrokeTotals Strokes, ExposureTotals Records, StrokesReport Filled) Run(
        BuildSettings settings,
        FiguresDocument figures,
        IReadOnlyList<IDocumentSink<StrokesHeader, Stroke>> strokesToo,
        IReadOnlyList<IDocumentSink<RecordsHeader, DeflectionRecord>> recordsToo,
        BuildOutputs outputs,
        DiagnosticSink sink,
        CancellationToken cancellation,
        FigureCharge? charge = null)
    {
        (Job job, var machine, _) = settings;
        IDocumentSink<RecordsHeader, DeflectionRecord> written = RecordsSink(settings, outputs, recordsToo);

        // The balance of charge is drawn before dwells make up for the blanker.
        var recordsChecker = new RecordsChecker(machine.Blanker.IsCompensated ? new BlankerTiming(machine.Blanker, written, sink) : written);
        ScaleOptions scaling = StageOptions.Scale(job, machine) with { Blanker = null };
        IDocumentSink<StrokesHeader, Stroke> scale = charge is null ? new ScalePass(scaling, recordsChecker, sink) : new ComparedScale(charge, scaling, recordsChecker, sink);
        var strokesChecker = new StrokesChecker(StrokesSink(job, outputs, strokesToo, scale));
        StrokesReport filled = StrokesStage.Run(figures, settings, strokesChecker, sink, cancellation);
        ChargeBalance.Check(strokesChecker.Totals, recordsChecker.Totals, machine.Clock, machine.Beam);
        return (strokesChecker.Totals, recordsChecker.Totals, filled);
    }

    /// <summary>Keeps the figures of each jump where they are wanted: for machines that never blank, and for strict builds.</summary>
    public static JumpFigures? JumpFiguresFor(BuildSettings settings) =>
        StrayScan.AlwaysExposes(settings.Machine) || settings.Job.IsStrict ? new JumpFigures() : null;

    private static IDocumentSink<StrokesHeader, Stroke> StrokesSink(
        Job job, BuildOutputs outputs, IReadOnlyList<IDocumentSink<StrokesHeader, Stroke>> too, IDocumentSink<StrokesHeader, Stroke> next)
    {
        List<IDocumentSink<StrokesHeader, Stroke>> sinks = [.. too];
        if (job.Keep.Strokes is string path)
        {
            Stream stream = outputs.Create(path, "strokes", job.Keep.Binary);
            sinks.Add(job.Keep.Binary ? new StrokesBinaryWriter(stream) : new StrokesTextWriter(stream));
        }

        return sinks.Count == 0 ? next : new FanOut<StrokesHeader, Stroke>([.. sinks, next]);
    }

    private static FanOut<RecordsHeader, DeflectionRecord> RecordsSink(
        BuildSettings settings, BuildOutputs outputs, IReadOnlyList<IDocumentSink<RecordsHeader, DeflectionRecord>> too)
    {
        List<IDocumentSink<RecordsHeader, DeflectionRecord>> sinks = [.. too];
        KeptDocuments keep = settings.Job.Keep;
        if (keep.Records is string path)
        {
            Stream stream = outputs.Create(path, "records", keep.Binary);
            sinks.Add(keep.Binary ? new RecordsBinaryWriter(stream) : new RecordsTextWriter(stream));
        }

        foreach (JobOutput output in settings.Job.Outputs)
        {
            Stream stream = outputs.Create(output.Path, output.Format.ToString().ToLowerInvariant(), OutputWriter.IsBinary(output.Format));
            sinks.Add(OutputWriter.Create(output.Format, stream, settings.Machine));
        }

        return new FanOut<RecordsHeader, DeflectionRecord>(sinks);
    }
}
