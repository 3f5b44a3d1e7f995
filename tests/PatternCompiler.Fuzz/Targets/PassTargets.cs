using System.Text;
using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Fuzz.Mutation;
using PatternCompiler.Fuzz.Running;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Limits;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Model;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Passes.Timing;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Fuzz.Targets;

/// <summary>
/// One target for each pass, on random documents with random settings: the input is a text of parts, job, machine and process
/// before the document, and all of it is changed together.
/// </summary>
internal static class PassTargets
{
    private const string Divider = "%%%\n";
    private const string Fill = "fill: {line_pitch: 200 nm, point_step: 100 nm}\n";

    // A tenth of what is accepted by default is still too much for two seconds.
    private static readonly WorkLimits Low = WorkLimits.Usual
        .With(WorkKind.Copies, 20_000).With(WorkKind.Vertices, 5_000).With(WorkKind.Corners, 20_000).With(WorkKind.Crossings, 20_000).With(WorkKind.Figures, 50_000)
        .With(WorkKind.Pieces, 50_000).With(WorkKind.Fields, 5_000).With(WorkKind.Strokes, 50_000).With(WorkKind.Points, 5_000_000);

    private static readonly byte[][] Marks = Repository.Words(
        "rect circle ring polygon path line dot place on at centre size radius inner outer width ends flat round square (0, 0) 1) rotate mirror dose columns rows "
        + "fill: bias: fracture: order: layers: operations: correct: fields: strategy: raster contour spiral meander line_pitch: point_step: um nm codes auto yes no");

    /// <summary>The targets.</summary>
    public static IEnumerable<FuzzTarget> All =>
    [
        Of("fracture", Layouts("job: a\nfracture: {direction: automatic, largest_figure: 10 um, sliver: 5 nm}\n"), (settings, text, cancellation) =>
            Check(Fracture(Layout(settings, text, cancellation), settings, cancellation))),
        Of("boolean", Layouts("job: a\noperations:\n  - {layer: c, from: a with a}\n  - {layer: d, from: a without c grown by 10 nm}\nwrite: [c, d]\n"), (settings, text, cancellation) =>
            Layout(settings, text, cancellation)),
        Of("offset", Layouts("job: a\nbias: {distance: 20 nm, corners: round}\n"), (settings, text, cancellation) => Layout(settings, text, cancellation)),
        Of("correct", Layouts("job: a\ncorrect: {target: edge, iterations: 4}\n"), Correct),
        Of("split", Layouts("job: a\nfields: {size: 2 um, margin: 200 nm, seam: taper, seam_width: 100 nm, taper_steps: 2}\n"), Split),
        Of("fill", [.. Layouts("job: a\n" + Fill), .. Layouts("job: a\nfill: {strategy: inward contours, line_pitch: 100 nm}\norder: {by: short travel}\n")], (settings, text, cancellation) =>
            StrokesStage.Run(Fracture(Layout(settings, text, cancellation), settings, cancellation), settings, new StrokesChecker(new Discard<StrokesHeader, Stroke>()), new DiagnosticSink(), cancellation)),
        Of("fill-figures", Documents(Samples.Figures), (settings, text, cancellation) =>
            StrokesStage.Run(
                FiguresReader.Read(Bytes(text), "figures", new DiagnosticSink(), cancellation), settings, new StrokesChecker(new Discard<StrokesHeader, Stroke>()), new DiagnosticSink(), cancellation)),
        Of("scale", Documents(Samples.Strokes), Scale),
        Of("emit", Documents(Samples.Outputs(OutputFormat.Records)), Emit),
    ];

    private static void Correct(BuildSettings settings, string text, CancellationToken cancellation)
    {
        FiguresDocument figures = Fracture(Layout(settings, text, cancellation), settings, cancellation);
        // Of a wider drawing the map of the background, at most 8192 cells wide and high, does not fit into the memory of an input.
        var checker = new FiguresChecker();
        Samples.Send(figures, checker);
        bool isSmall = checker.Totals.XRightNanometres - checker.Totals.XLeftNanometres < 500_000 && checker.Totals.YTopNanometres - checker.Totals.YBottomNanometres < 500_000;
        if (isSmall && StageOptions.Correction(settings.Job, settings.Machine, settings.Process) is ProximityOptions options)
        {
            Check(ProximityPass.Run(figures, options, new DiagnosticSink(), cancellation).Figures);
        }
    }

    private static void Split(BuildSettings settings, string text, CancellationToken cancellation)
    {
        FiguresDocument figures = Fracture(Layout(settings, text, cancellation), settings, cancellation);
        if (StageOptions.Fields(settings.Job, settings.Machine) is FieldOptions options)
        {
            FieldPass.Run(figures, options, new DiagnosticSink(), cancellation);
        }
    }

    private static void Scale(BuildSettings settings, string text, CancellationToken cancellation)
    {
        var sink = new DiagnosticSink();
        var estimator = new Estimator(settings.Machine, settings.Process);
        var timing = new BlankerTiming(settings.Machine.Blanker, new FanOut<RecordsHeader, DeflectionRecord>([new RecordsChecker(), estimator]));
        StrokesReader.Read(Bytes(text), "strokes", new ScalePass(StageOptions.Scale(settings.Job, settings.Machine) with { Blanker = null }, timing, () => timing.ElapsedTicks), sink, cancellation);
        estimator.ToEstimate();
    }

    private static void Emit(BuildSettings settings, string text, CancellationToken cancellation)
    {
        foreach ((_, OutputFormat format) in OutputFormats.Choice.Entries)
        {
            try
            {
                RecordsReader.Read(Bytes(text), "records", OutputFormats.Create(format, new LimitedStream(), settings.Machine), new DiagnosticSink(), cancellation);
            }
            catch (CompileException)
            {
                // The next format may still take it.
            }
        }
    }

    private static LayoutDocument Layout(BuildSettings settings, string text, CancellationToken cancellation) => LayoutStage.Place(
        settings.Job, LayoutReader.Read(Bytes(text), "layout", new DrawingOptions { Limits = WorkLimits.Usual.With(WorkKind.Expansion, 2000) }, new DiagnosticSink(), cancellation), new DiagnosticSink(), cancellation);

    private static FiguresDocument Fracture(LayoutDocument layout, BuildSettings settings, CancellationToken cancellation)
    {
        FlatLayout flat = FlattenPass.Run(layout, StageOptions.Flatten(settings.Job), new DiagnosticSink(), cancellation);
        return FracturePass.Run(flat, StageOptions.Fracture(settings.Job), new DiagnosticSink(), cancellation);
    }

    private static void Check(FiguresDocument figures) => Samples.Send(figures, new FiguresChecker());

    private static MemoryStream Bytes(string text) => new(Encoding.UTF8.GetBytes(text));

    private static string[] Layouts(string job) => [.. Samples.Layouts.Select(layout => Parts(job, layout))];

    private static string[] Documents(byte[][] documents) => [.. documents.Select(document => Parts("job: a\n" + Fill, Encoding.UTF8.GetString(document)))];

    private static string Parts(string job, string document) => string.Join(Divider, job, DefaultMachine, DefaultProcess, document);

    /// <summary>The built-in machine and process without their comments, which would take most changes.</summary>
    private static string DefaultMachine => WithoutComments(DefaultFiles.MachineText);

    private static string DefaultProcess => WithoutComments(DefaultFiles.ProcessText);

    private static string WithoutComments(string yaml) =>
        string.Concat(yaml.Split('\n').Select(line => line.Split('#')[0].TrimEnd()).Where(line => line.Length > 0).Select(line => line + "\n"));

    private static FuzzTarget Of(string name, string[] seeds, Action<BuildSettings, string, CancellationToken> run) => new(
        name,
        [.. seeds.Select(Encoding.UTF8.GetBytes)],
        TextMutations.All,
        (input, cancellation) =>
        {
            string[] parts = Encoding.UTF8.GetString(input).Split(Divider);
            if (parts.Length == 4)
            {
                run(new BuildSettings(JobFile.Parse(parts[0], null) with { Limits = Low }, MachineFile.Parse(parts[1], null), ProcessFile.Parse(parts[2], null)), parts[3], cancellation);
            }
        }) { Words = Marks };
}
