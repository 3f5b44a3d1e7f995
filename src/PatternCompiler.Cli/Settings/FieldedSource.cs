using PatternCompiler.Cli.Files;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Cli.Settings;

/// <summary>Carries a pattern that its job divides into write fields through the stages to records, field after field.</summary>
internal static class FieldedSource
{
    private const int PeekBytes = 64;

    /// <summary>Estimates the records of all fields together.</summary>
    /// <param name="source">The input, not read yet.</param>
    /// <param name="settings">Settings of the stages that are left.</param>
    /// <param name="readDrawing">Reads the input as a drawing, if it is no later document.</param>
    /// <param name="estimator">Takes the records.</param>
    /// <param name="context">Messages and cancellation.</param>
    /// <param name="strokes">Takes the strokes too, or null.</param>
    /// <returns>What filling decided and what the stage adds, or null if nothing is divided: then nothing was sent.</returns>
    public static (StrokesReport Filled, StageEstimate? Stage)? TrySend(
        InputStream source,
        BuildSettings settings,
        Func<LayoutDocument> readDrawing,
        Estimator estimator,
        CommandContext context,
        IDocumentSink<StrokesHeader, Stroke>? strokes)
    {
        if (StageOptions.Fields(settings.Job, settings.Machine) is not FieldOptions options || !RecordsSource.IsBeforeStrokes(source.Peek(PeekBytes)))
        {
            return null;
        }

        FiguresDocument figures = RecordsSource.ReadFigures(source, settings, readDrawing, context);
        DividedPattern divided = FieldPass.Run(figures, options, context.Sink, context.Cancellation);
        var messages = new FieldMessages();
        var joined = new JoinedRecords(estimator);
        StrokesReport filled = StrokesReport.Empty;
        for (int i = 0; i < divided.Figures.Length; i++)
        {
            WriteField field = divided.Plan.Fields[i];
            estimator.BeginField(field.Name);
            try
            {
                DiagnosticSink told = messages.SinkOf(field);
                StrokesReport part = StrokesStage.Run(
                    divided.Figures[i],
                    settings,
                    RecordsSource.Scale(settings, joined, strokes, charge: null, context),
                    told,
                    context.Cancellation);
                filled = filled.With(part);
            }
            catch (CompileException fault)
            {
                messages.ReportTo(context.Sink);
                throw FieldMessages.In(field, fault);
            }
        }

        joined.Complete();
        messages.ReportTo(context.Sink);
        double moves = StageTour.Of(divided.Plan, settings.Machine.Stage, context.Sink).Sum(visit => visit.MoveSeconds);
        return (filled, new StageEstimate(divided.Plan.Fields.Length, moves));
    }
}
