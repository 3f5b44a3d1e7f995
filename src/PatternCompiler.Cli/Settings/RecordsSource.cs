using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Cli.Files;
using PatternCompiler.Jobs;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Passes.Scale;

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
    /// <returns>What filling decided; empty for a document that was filled already.</returns>
    public static FillReport Send(
        InputStream source,
        BuildSettings settings,
        Func<LayoutDocument> readDrawing,
        IDocumentSink<RecordsHeader, DeflectionRecord> sink,
        CommandContext context,
        IDocumentSink<StrokesHeader, Stroke>? strokes = null)
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
            StrokesReader.Read(source, source.Name, Scale(settings, sink, strokes), context.Sink, context.Cancellation);
        }
        else
        {
            FiguresDocument figures = FiguresReader.Recognises(first)
                ? FiguresReader.Read(source, source.Name, context.Sink, context.Cancellation)
                : Fracture(readDrawing(), settings, context);
            return FillPass.Run(figures, StageOptions.Fill(settings.Job, settings.Machine, settings.Process), Scale(settings, sink, strokes), context.Sink, context.Cancellation);
        }

        return FillReport.Empty;
    }

    private static IDocumentSink<StrokesHeader, Stroke> Scale(
        BuildSettings settings, IDocumentSink<RecordsHeader, DeflectionRecord> sink, IDocumentSink<StrokesHeader, Stroke>? strokes)
    {
        var scale = new ScalePass(StageOptions.Scale(settings.Job, settings.Machine), sink);
        return strokes is null ? scale : new FanOut<StrokesHeader, Stroke>([strokes, scale]);
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
