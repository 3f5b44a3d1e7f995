using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Pictures;
using PatternCompiler.Places;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Reports;
using PatternCompiler.Reports.Player;

namespace PatternCompiler.Jobs.Report;

/// <summary>Gathers what the report of a build shows while its documents stream by, in bounded memory.</summary>
internal sealed class BuildReport : ExposureWatcher
{
    // As wide as the page sets a picture on a desk, and still readable on a telephone.
    private const int PictureWidth = 480;
    private const double PictureShape = 0.8;

    // A page of two megabytes or so, however large the pattern; a page of preview holds more.
    private const long MostRecords = 150_000;
    private const int MostFigures = 30_000;
    private const int MostPrintedCorners = 50_000;
    private readonly BuildSettings settings;
    private FlatLayout layout = null!;
    private SampleWindow close;
    private readonly StrokesPicture allStrokes;
    private readonly bool isDivided;
    private readonly bool isElsewhere;
    private RecordsPicture? closeRecords;
    private StrokesPicture? closeStrokes;
    private PredictedResist? resist;
    private DoseTally? doses;
    private PlacedStrokes? placed;
    private readonly PlayerWatcher player;

    /// <summary>Starts a report.</summary>
    /// <param name="settings">Job, machine and process; the job wants a report.</param>
    public BuildReport(BuildSettings settings)
    {
        this.settings = settings;
        allStrokes = new StrokesPicture(Bare());
        player = new PlayerWatcher(settings, MostRecords, MostFigures);

        // The records of a write field say where the beam goes from there, not where that is on the pattern.
        isDivided = settings.Job.Fields is not null;

        // So do those of a layer that is placed on another.
        isElsewhere = isDivided || settings.Job.Alignment is not null;
    }

    /// <inheritdoc/>
    public override void See(FlatLayout layout)
    {
        this.layout = layout;
        JobReport wanted = settings.Job.Report!;
        double width = wanted.WidthNanometres ?? PredictedResist.WidthFor(settings.Machine);
        close = wanted.Centre is (double x, double y)
            ? new SampleWindow(x - width / 2, y - width * PictureShape / 2, x + width / 2, y + width * PictureShape / 2)
            : FinestPlace.Choose(layout, width, width * PictureShape);
        PictureOptions near = Bare() with { Window = WindowOf(close) };
        closeRecords = isElsewhere ? null : new RecordsPicture(near);
        closeStrokes = isElsewhere ? new StrokesPicture(near) : null;
        resist = settings.Process.Spread is null
            ? null
            : new PredictedResist(settings.Machine, settings.Process, layout, close, settings.Job.Fields?.Options.Marks, settings.Job.Limits);
    }

    /// <inheritdoc/>
    public override void See(FieldPlan plan)
    {
        if (resist is not null)
        {
            resist.Plan = plan;
        }
    }

    /// <inheritdoc/>
    public override void See(FiguresDocument figures)
    {
        doses = new DoseTally(figures, StageOptions.Fill(settings.Job, settings.Machine, settings.Process));
        player.See(figures);
    }

    /// <inheritdoc/>
    public override void Begin(StagePosition position)
    {
        player.Begin(position);
        placed ??= new PlacedStrokes(StrokesWatched());
        placed.Place(position.XFemtometres, position.YFemtometres, position.FirstFigure);
    }

    /// <inheritdoc/>
    public override IDocumentSink<StrokesHeader, Stroke>? Strokes => placed;

    /// <inheritdoc/>
    public override void Complete() => placed?.Complete();

    private FanOut<StrokesHeader, Stroke> StrokesWatched()
    {
        List<IDocumentSink<StrokesHeader, Stroke>> sinks = [allStrokes, doses!];
        if (closeStrokes is not null)
        {
            sinks.Add(closeStrokes);
        }

        if (isDivided && resist is not null)
        {
            sinks.Add(resist.Strokes);
        }

        return new FanOut<StrokesHeader, Stroke>(sinks);
    }

    /// <summary>Takes the records of a pattern that is written from one position of the stage.</summary>
    public override IDocumentSink<RecordsHeader, DeflectionRecord> Records
    {
        get
        {
            List<IDocumentSink<RecordsHeader, DeflectionRecord>> sinks = closeRecords is null ? [player.Columns] : [player.Columns, closeRecords];
            if (!isDivided && resist is not null)
            {
                sinks.Add(resist.Records);
            }

            return new FanOut<RecordsHeader, DeflectionRecord>(sinks);
        }
    }

    /// <summary>Puts the report together.</summary>
    /// <param name="summary">What the build has made.</param>
    /// <param name="read">What it has read.</param>
    /// <param name="diagnostics">What it has reported.</param>
    /// <param name="places">Knows where figures were drawn.</param>
    /// <param name="cancellation">Stops the simulation.</param>
    public ReportContent ToContent(
        BuildSummary summary, IEnumerable<ReportFile> read, IEnumerable<Diagnostic> diagnostics, MessagePlaces places, CancellationToken cancellation)
    {
        var names = new ReportNames(settings.Job.File);
        SimulationResult? developed = resist?.Develop(cancellation);
        Diagnostic[] told = [.. diagnostics.Select(names.Shorten)];
        PlayerDocument played = player.ToDocument(settings.Job.Name, places, told, names.Of);
        return new ReportContent
        {
            Player = developed is null ? played : played with { Print = new PlayerPrint(developed.GridPicometres, developed.Printed, close, MostPrintedCorners) },
            JobName = settings.Job.Name,
            Variant = settings.Job.Report!.Variant,
            ToolVersion = settings.ToolVersion,
            Machine = settings.Machine,
            Process = settings.Process,
            Settings = JobFacts.Of(settings.Job),
            Figures = summary.Figures,
            Correction = summary.Correction,
            Estimate = summary.Estimate,
            Doses = doses!.ToRows(),
            Pictures = Pictures(developed),
            Prediction = developed is null ? null : new ReportPrediction(close, resist!.PixelNanometres, resist.LevelCoulombsPerSquareMetre, developed)
            {
                IsOfStrokes = isDivided,
                Print = PredictedPrint.Of(close, resist, developed),
            },
            Diagnostics = [.. told],
            Inputs = [.. SettingsHashes.Of(settings.Job).Concat(read).DistinctBy(file => file.Name).Select(file => file with { Name = names.Of(file.Name) })],
            Outputs = [.. summary.Files.Select(file => new ReportFile(names.Of(file.Path), file.Content, file.Bytes, file.Hash))],
        };
    }

    private ImmutableArray<ReportPicture> Pictures(SimulationResult? developed)
    {
        string place = $"{FactText.Length(close.Right - close.Left)} wide, around ({FactText.Round((close.Left + close.Right) * 0.5e-3)}, {FactText.Round((close.Bottom + close.Top) * 0.5e-3)}) µm";
        string near = settings.Job.Report!.Centre is null ? "Where most edges lie" : "The part that the job names";
        var pictures = ImmutableArray.CreateBuilder<ReportPicture>();
        Add("Layout", "What is drawn, layer by layer, after the job’s operations and where it stands in the field.", null, LayoutPicture.Compose(layout, Bare()));
        Add("Strokes and jumps", "What the beam writes, and the ways between with the beam off.", null, allStrokes.Compose());
        Add(
            "Detail",
            $"{near}: {(isDivided ? "the strokes of all write fields" : isElsewhere ? "the strokes, before the layer is placed on the one below" : "the lines and points that the controller makes")}.",
            place,
            closeRecords?.Compose() ?? closeStrokes!.Compose());

        if (developed is not null)
        {
            PictureOptions options = Bare() with { Window = WindowOf(close) };
            Add(
                "Predicted resist",
                "The same part as it would develop: drawn and printed outlines over the deposited energy.",
                null,
                SimulationPicture.Compose(developed, resist!.Drawn, resist.LevelCoulombsPerSquareMetre, options));
        }

        return pictures.ToImmutable();

        void Add(string title, string caption, string? facts, Scene scene) =>
            pictures.Add(new ReportPicture(title, caption, facts ?? scene.Facts, scene));
    }

    private static PictureOptions Bare() => new() { WidthPixels = PictureWidth, IsBare = true };

    private static PictureWindow WindowOf(SampleWindow window) =>
        new((window.Left + window.Right) / 2, (window.Bottom + window.Top) / 2, window.Right - window.Left);
}
