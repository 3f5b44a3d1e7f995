using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Boolean;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Offset;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Passes.Relief;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Places;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Shapes;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>
/// The one way from a document of any kind to any later kind. Single stages and whole runs are made of the same steps, with
/// the same checks between them, and everything noticed goes to one sink, with the place in the drawing; nothing else composes passes.
/// </summary>
internal sealed class Pipeline
{
    private readonly BuildSettings settings;
    private readonly IBuildFiles files;
    private readonly Job job;
    private readonly CancellationToken cancellation;
    private readonly DiagnosticSink sink;
    private OriginCheck? origin;
    private bool isProcessChecked;

    /// <summary>Prepares the way.</summary>
    /// <param name="settings">Job, machine and process.</param>
    /// <param name="files">Where drawings, included files and the fields of a manifest are.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the work.</param>
    public Pipeline(BuildSettings settings, IBuildFiles files, DiagnosticSink sink, CancellationToken cancellation)
    {
        this.settings = settings;
        this.files = files;
        this.cancellation = cancellation;
        job = settings.Job;
        this.sink = Places.Before(sink);
    }

    /// <summary>Where messages about figures, strokes and records get their places.</summary>
    public MessagePlaces Places { get; } = new();

    /// <summary>Judges documents with other settings than they were made with, too, and warns of it.</summary>
    public bool AcceptsOtherSettings { get; init; }

    private OriginCheck Origin => origin ??= new OriginCheck(settings, AcceptsOtherSettings, sink);

    /// <summary>The job's drawings as one layout, its operations done, in its place in the field.</summary>
    /// <exception cref="CompileException">A drawing is faulty, or the job asks for something that the drawings do not have.</exception>
    public LayoutDocument Layout() => Places.Tell(() => LayoutStage.Run(job, files, Places, sink, cancellation));

    /// <summary>The job's drawings in their place, with curves much finer than a build makes them: what a print is measured against.</summary>
    /// <exception cref="CompileException">A drawing is faulty, or too large for so fine a grid.</exception>
    public FlatLayout Reference() => WithHeights(ReferenceStage.Run(job, files, sink, cancellation));

    /// <summary>A layout without cells, curves as polygons.</summary>
    public FlatLayout Flatten(LayoutDocument layout) => FlattenPass.Run(layout, StageOptions.Flatten(job), sink, cancellation);

    /// <summary>The heights that the job wants of areas turned into the dose factors of large areas.</summary>
    /// <exception cref="CompileException">A height is no part of the film.</exception>
    public FlatLayout WithHeights(FlatLayout layout) =>
        StageOptions.Relief(job, settings.Process) is ReliefOptions options ? Places.Tell(() => ReliefPass.Run(layout, options)) : layout;

    /// <summary>Areas merged, combined, subtracted.</summary>
    public LayoutDocument Combine(LayoutDocument layout, BooleanOptions options) =>
        BooleanPass.Run(Flatten(layout), options with { Limits = job.Limits }, sink, cancellation) with { IsPlaced = layout.IsPlaced };

    /// <summary>The job's operations on layers, alone.</summary>
    public LayoutDocument Operate(LayoutDocument layout) => OperationsStage.Run(job, layout, sink, cancellation) with { IsPlaced = layout.IsPlaced };

    /// <summary>Areas grown or shrunk, and merged.</summary>
    public LayoutDocument Offset(LayoutDocument layout, OffsetOptions options)
    {
        FlatLayout moved = OffsetPass.Run(Flatten(layout), options with { Limits = job.Limits }, sink, cancellation);
        return BooleanPass.Run(moved, new BooleanOptions { Limits = job.Limits }, sink, cancellation) with { IsPlaced = layout.IsPlaced };
    }

    /// <summary>Areas cut into figures.</summary>
    public FiguresDocument Fracture(FlatLayout layout) => Places.Tell(() => FracturePass.Run(layout, StageOptions.Fracture(job), sink, cancellation));

    /// <summary>Doses corrected for scattered electrons, if the job wants that; otherwise the figures as they are.</summary>
    /// <exception cref="CompileException">The process does not say how energy spreads.</exception>
    public (FiguresDocument Figures, ProximityReport? Report) Correct(FiguresDocument figures)
    {
        if (StageOptions.Correction(job, settings.Machine, settings.Process) is not ProximityOptions options)
        {
            return (figures, null);
        }

        CheckProcess();

        // The pass cuts figures and counts them anew: it says itself where they lie.
        Places.Figures = null;
        return Places.Tell(() => ProximityPass.Run(figures, options, sink, cancellation));
    }

    /// <summary>Figures passed on, checked.</summary>
    public FigureTotals Check(FiguresDocument figures, IDocumentSink<FiguresHeader, Figure>? output)
    {
        Places.Figures = figures;
        var checker = new FiguresChecker(output);
        figures.PushTo(checker, cancellation);
        return checker.Totals;
    }

    /// <summary>Figures divided into write fields that the converters reach, or null if the job wants none.</summary>
    public DividedPattern? Split(FiguresDocument figures)
    {
        if (StageOptions.Fields(job, settings.Machine) is not FieldOptions options)
        {
            return null;
        }

        Places.Figures = figures;
        return Places.Tell(() =>
        {
            DividedPattern divided = FieldPass.Run(figures, options, sink, cancellation);
            foreach ((WriteField field, FiguresDocument part) in divided.Plan.Fields.Zip(divided.Figures))
            {
                Places.Enter(field.Name, part, CentreOf(field, divided.Plan));
            }

            Places.Leave();
            AlignmentCheck.RequireFields(job, divided.Plan);
            FieldReach.Require(divided, field => MappingOf(settings.In(field.Name, CentreOf(field, divided.Plan))));
            return divided;
        });
    }

    /// <summary>Figures filled with strokes.</summary>
    /// <exception cref="CompileException">The pattern does not fit the field, or a fill cannot be made.</exception>
    public StrokesReport Fill(FiguresDocument figures, IDocumentSink<StrokesHeader, Stroke> output)
    {
        Places.Figures = figures;
        return Places.Tell(() =>
        {
            FieldCheck.Run(figures, MappingOf(AlignmentCheck.Known(settings)), cancellation);
            return StrokesStage.Run(figures, settings, new StrokesChecker(output), sink, cancellation);
        });
    }

    /// <summary>Strokes scaled to records.</summary>
    public void Scale(PipelineInput strokes, IDocumentSink<RecordsHeader, DeflectionRecord> output) =>
        Places.Tell(() => ReadStrokes(strokes, new RecordsStage(AlignmentCheck.Known(settings), output, sink), sink));

    /// <summary>Records or a stream read, checked and passed on.</summary>
    /// <returns>What they do altogether.</returns>
    public ExposureTotals ReadRecords(PipelineInput records, IDocumentSink<RecordsHeader, DeflectionRecord> output)
    {
        var checker = new RecordsChecker();
        Places.Tell(() => ReadRecords(records, checker, output, sink));
        return checker.Totals;
    }

    /// <summary>A stream read, checked and passed on.</summary>
    /// <returns>What it does altogether, and its words and profile.</returns>
    public (ExposureTotals Totals, ExposureStreamOptions Layout) ReadStream(Stream stream, string name, IDocumentSink<RecordsHeader, DeflectionRecord> output)
    {
        var checker = new RecordsChecker();
        ExposureStreamOptions layout = ExposureStreamReader.Read(stream, name, new CheckedInput<RecordsHeader, DeflectionRecord>(name, checker, output), sink, cancellation);
        return (checker.Totals, layout);
    }

    /// <summary>Strokes read, checked and passed on.</summary>
    public void ReadStrokes(PipelineInput strokes, IDocumentSink<StrokesHeader, Stroke> output) =>
        Places.Tell(() => ReadStrokes(strokes, output, sink));

    /// <summary>Figures read and held.</summary>
    public FiguresDocument ReadFigures(PipelineInput figures) => Places.Tell(() => ReadFigures(figures, sink));

    /// <summary>Header of the records that this machine's strokes become.</summary>
    public RecordsHeader RecordsHeader => ScalePass.HeaderOf(StageOptions.Scale(job, settings.Machine));

    /// <summary>Carries a document of any kind to records, past those who watch.</summary>
    /// <returns>What the proximity correction did, and totals of the figures, where the run has come by them.</returns>
    /// <exception cref="CompileException">A document is faulty, or the hardware cannot write the pattern.</exception>
    public (FigureTotals? Figures, ProximityReport? Correction) Run(PipelineInput input, IReadOnlyList<ExposureWatcher> watchers) =>
        Places.Tell(() => RunTold(input, watchers));

    /// <summary>A judgement, its warnings with their places.</summary>
    public ExposureEstimate Complete(ExposureEstimate estimate) => estimate with { Warnings = [.. estimate.Warnings.Select(Places.Complete)] };

    private (FigureTotals? Figures, ProximityReport? Correction) RunTold(PipelineInput input, IReadOnlyList<ExposureWatcher> watchers)
    {
        CheckProcess();
        AlignmentCheck.RequireKnown(settings, input.Kind);
        var exposure = new ExposureRun(settings, watchers, cancellation);
        (FigureTotals?, ProximityReport?) result = default;
        switch (input.Kind)
        {
            case DocumentKind.Drawing:
                result = RunLayout(Layout(), exposure, watchers);
                break;
            case DocumentKind.Figures:
                result = (RunFigures(ReadFigures(input), exposure, watchers), null);
                break;
            case DocumentKind.Strokes:
                exposure.RunStrokes(StagePosition.Only, figures: 0, sink, strokes => ReadStrokes(input, Origin.Strokes(input.Name, strokes), sink));
                break;
            case DocumentKind.Manifest:
                RunManifest(input, exposure, watchers);
                break;
            default:
                exposure.RunRecords(StagePosition.Only, figures: 0, records => ReadRecords(input, new RecordsChecker(), Origin.Records(input.Name, records), sink));
                break;
        }

        foreach (ExposureWatcher watcher in watchers)
        {
            watcher.Complete();
        }

        return result;
    }

    private (FigureTotals, ProximityReport?) RunLayout(LayoutDocument layout, ExposureRun exposure, IReadOnlyList<ExposureWatcher> watchers)
    {
        foreach (ExposureWatcher watcher in watchers)
        {
            watcher.See(layout);
        }

        FlatLayout flat = WithHeights(Flatten(layout));
        if (job.Correction is null && flat.Groups.FirstOrDefault(group => group.Height is not null) is FlatLayer wanted)
        {
            sink.Warn(
                ReliefCodes.Uncorrected,
                $"layer '{flat.LayerNames[wanted.Layer]}' holds heights, and doses are not corrected for scattered electrons: they hold in the middle of large areas only",
                fix: settings.Process.Spread is null ? "add 'correct: {}' to the job, and 'spread' to the process" : "add 'correct: {}' to the job");
        }

        NetCheck.RequireDrawn(flat, job.Nets, job.Limits, cancellation);
        foreach (ExposureWatcher watcher in watchers)
        {
            watcher.See(flat);
        }

        (FiguresDocument figures, ProximityReport? correction) = Correct(Fracture(flat));
        return (RunFigures(figures, exposure, watchers), correction);
    }

    private FigureTotals RunFigures(FiguresDocument figures, ExposureRun exposure, IReadOnlyList<ExposureWatcher> watchers)
    {
        DividedPattern? divided = Split(figures);
        if (divided is null)
        {
            Places.Figures = figures;
            FieldCheck.Run(figures, MappingOf(settings), cancellation);
        }

        IDocumentSink<FiguresHeader, Figure>[] outputs = [.. watchers.Select(watcher => watcher.Figures).OfType<IDocumentSink<FiguresHeader, Figure>>()];
        FigureTotals totals = Check(figures, outputs.Length == 0 ? null : new FanOut<FiguresHeader, Figure>(outputs));
        if (divided is null)
        {
            See(figures);
            exposure.RunFigures(StagePosition.Only, figures, sink);
            return totals;
        }

        See(new FiguresDocument(divided.Figures[0].Header, [.. divided.Figures.SelectMany(document => document.Figures)]));
        FieldPlan plan = divided.Plan;
        IReadOnlyList<TourStop> tour = StageTour.Of(plan, settings.Machine, sink);
        var fields = new FieldRun(plan, watchers);
        int before = 0;
        for (int i = 0; i < plan.Fields.Length; i++)
        {
            FiguresDocument part = divided.Figures[i];
            var position = StagePosition.Of(plan.Fields[i], plan.GridPicometres, before, tour[i].Reading, tour[i].MoveSeconds) with { Details = tour[i].Details };
            Places.Enter(plan.Fields[i].Name, part, CentreOf(plan.Fields[i], plan));
            fields.Run(plan.Fields[i], told => exposure.RunFigures(position, part, told), sink);
            before += part.Figures.Count;
        }

        Places.Leave();
        fields.ReportTo(sink);
        return totals;

        void See(FiguresDocument document)
        {
            foreach (ExposureWatcher watcher in watchers)
            {
                watcher.See(document);
            }
        }
    }

    /// <summary>Every field of a manifest, from the latest document that it lists for it.</summary>
    private void RunManifest(PipelineInput input, ExposureRun exposure, IReadOnlyList<ExposureWatcher> watchers)
    {
        FieldManifest manifest = FieldManifestFile.Read(input.Stream!, input.Name);
        var fields = new FieldRun(manifest.Plan, watchers);
        string folder = Path.GetDirectoryName(input.Name) ?? "";
        int before = 0;
        foreach (FieldVisit visit in manifest.Visits)
        {
            FieldFile file = visit.Files.LastOrDefault(file => file.Content is "stream" or "records" or "strokes" or "figures") ?? throw new CompileException(
                FieldCodes.UnknownField,
                $"the manifest lists no stream, records, strokes or figures of field {visit.Field.Name}",
                new SourcePlace(input.Name),
                "build the job again with an output of the format 'stream'");
            var position = StagePosition.Of(
                visit.Field, manifest.Plan.GridPicometres, before, (visit.StageXNanometres, visit.StageYNanometres), visit.MoveSeconds) with { Details = visit.Details };
            string path = Path.Combine(folder, file.Path);
            Places.Enter(visit.Field.Name, null, CentreOf(visit.Field, manifest.Plan));
            fields.Run(visit.Field, told => Places.Tell(() => RunPart(path, file, position, visit.Figures, exposure, Places.Before(told))), sink);
            Places.Figures = null;
            before += visit.Figures;
        }

        Places.Leave();
        fields.ReportTo(sink);
    }

    private void RunPart(string path, FieldFile file, StagePosition position, int figures, ExposureRun exposure, DiagnosticSink told)
    {
        using Stream stream = files.OpenDrawing(path);
        var input = new PipelineInput(
            file.Content switch { "figures" => DocumentKind.Figures, "strokes" => DocumentKind.Strokes, "records" => DocumentKind.Records, _ => DocumentKind.Stream },
            stream,
            path);
        switch (input.Kind)
        {
            case DocumentKind.Figures:
                FiguresDocument read = ReadFigures(input, told);
                Places.Figures = read;
                exposure.RunFigures(position, read, told);
                break;
            case DocumentKind.Strokes:
                exposure.RunStrokes(position, figures, told, strokes => ReadStrokes(input, Origin.Strokes(path, strokes), told));
                break;
            default:
                exposure.RunRecords(position, figures, records => ReadRecords(input, new RecordsChecker(), Origin.Records(path, records), told));
                break;
        }
    }

    /// <summary>The readers refuse whatever <see cref="FiguresChecker"/> does, and name the line.</summary>
    private FiguresDocument ReadFigures(PipelineInput input, DiagnosticSink told) => FiguresReader.Read(input.Stream!, input.Name, told, cancellation);

    private void ReadStrokes(PipelineInput input, IDocumentSink<StrokesHeader, Stroke> strokes, DiagnosticSink told) => StrokesReader.Read(
        input.Stream!, input.Name, new CheckedInput<StrokesHeader, Stroke>(input.Name, new StrokesChecker(), strokes), told, cancellation);

    private void ReadRecords(PipelineInput input, RecordsChecker checker, IDocumentSink<RecordsHeader, DeflectionRecord> next, DiagnosticSink told)
    {
        var records = new CheckedInput<RecordsHeader, DeflectionRecord>(input.Name, checker, next);
        if (input.Kind == DocumentKind.Stream)
        {
            ExposureStreamReader.Read(input.Stream!, input.Name, records, told, cancellation);
        }
        else
        {
            RecordsReader.Read(input.Stream!, input.Name, records, told, cancellation);
        }
    }

    private void CheckProcess()
    {
        if (!isProcessChecked)
        {
            ProcessCheck.Run(settings, sink);
            isProcessChecked = true;
        }
    }

    private static (double X, double Y) CentreOf(WriteField field, FieldPlan plan) =>
        (field.Centre.X * (plan.GridPicometres / 1000.0), field.Centre.Y * (plan.GridPicometres / 1000.0));

    private static DacMapping MappingOf(BuildSettings settings) => new(settings.Machine.Dac, settings.Machine.Deflection);
}
