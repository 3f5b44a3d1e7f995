using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Cli.Files;
using PatternCompiler.Jobs;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Cli.Settings;

/// <summary>
/// Reads a document of any stage and carries it through the stages that are left to records: for commands that look at
/// an exposure and should not care how far it has been compiled.
/// </summary>
internal static class RecordsSource
{
    private const int PeekBytes = 64;

    /// <summary>Sends the records of an input into a sink.</summary>
    /// <param name="source">The input, not read yet.</param>
    /// <param name="settings">Settings of the stages that are left.</param>
    /// <param name="readDrawing">Reads the input as a drawing, if it is no later document.</param>
    /// <param name="sink">Takes the records.</param>
    /// <param name="context">Messages and cancellation.</param>
    /// <param name="strokes">Takes the strokes too, where the input is not beyond them; or null.</param>
    /// <param name="charge">Compares the charge of figures in strokes and records, where the input is not beyond strokes; or null.</param>
    /// <returns>What filling decided and what straight jumps would print; empty for a document that was filled already.</returns>
    public static StrokesReport Send(
        InputStream source,
        BuildSettings settings,
        Func<LayoutDocument> readDrawing,
        IDocumentSink<RecordsHeader, DeflectionRecord> sink,
        CommandContext context,
        IDocumentSink<StrokesHeader, Stroke>? strokes = null,
        FigureCharge? charge = null)
    {
        ReadOnlySpan<byte> first = source.Peek(PeekBytes);
        if (ExposureStreamReader.Recognises(first))
        {
            ExposureStreamReader.Read(source, source.Name, sink, context.Sink, context.Cancellation);
        }
        else if (RecordsReader.Recognises(first))
        {
            RecordsReader.Read(source, source.Name, sink, context.Sink, context.Cancellation);
        }
        else if (StrokesReader.Recognises(first))
        {
            StrokesReader.Read(source, source.Name, Scale(settings, sink, strokes, charge, context), context.Sink, context.Cancellation);
        }
        else
        {
            FiguresDocument figures = ReadFigures(source, settings, readDrawing, context);
            return StrokesStage.Run(figures, settings, Scale(settings, sink, strokes, charge, context), context.Sink, context.Cancellation);
        }

        return StrokesReport.Empty;
    }

    /// <summary>True for figures and what comes before them.</summary>
    public static bool IsBeforeStrokes(ReadOnlySpan<byte> first) =>
        !ExposureStreamReader.Recognises(first) && !RecordsReader.Recognises(first) && !StrokesReader.Recognises(first);

    /// <summary>Reads figures, or makes them of a drawing.</summary>
    public static FiguresDocument ReadFigures(InputStream source, BuildSettings settings, Func<LayoutDocument> readDrawing, CommandContext context) =>
        FiguresReader.Recognises(source.Peek(PeekBytes))
            ? FiguresReader.Read(source, source.Name, context.Sink, context.Cancellation)
            : Fracture(readDrawing(), settings, context);

    /// <summary>The stage from strokes to records; strokes may go to further sinks, too.</summary>
    public static IDocumentSink<StrokesHeader, Stroke> Scale(
        BuildSettings settings,
        IDocumentSink<RecordsHeader, DeflectionRecord> sink,
        IDocumentSink<StrokesHeader, Stroke>? strokes,
        FigureCharge? charge,
        CommandContext context)
    {
        List<IDocumentSink<StrokesHeader, Stroke>> sinks = [];
        if (strokes is not null)
        {
            sinks.Add(strokes);
        }

        ScaleOptions options = StageOptions.Scale(settings.Job, settings.Machine);
        sinks.Add(charge is null ? new ScalePass(options, sink) : new ComparedScale(charge, options, sink, context.Sink));
        return sinks.Count == 1 ? sinks[0] : new FanOut<StrokesHeader, Stroke>(sinks);
    }

    private static FiguresDocument Fracture(LayoutDocument layout, BuildSettings settings, CommandContext context)
    {
        FlatLayout flat = FlattenPass.Run(layout, StageOptions.Flatten(settings.Job), context.Sink, context.Cancellation);
        FiguresDocument figures = FracturePass.Run(flat, StageOptions.Fracture(settings.Job), context.Sink, context.Cancellation);
        return StageOptions.Correction(settings.Job, settings.Machine, settings.Process) is { } correction
            ? ProximityPass.Run(figures, correction, context.Sink, context.Cancellation).Item1
            : figures;
    }
}
