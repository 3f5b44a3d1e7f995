using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Passes.Timing;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>
/// From strokes to records: checks the strokes, scales them, balances their charge, makes up for the blanker's delays, and
/// checks the records as they are written.
/// </summary>
internal sealed class RecordsStage : IDocumentSink<StrokesHeader, Stroke>
{
    private readonly Machine machine;
    private readonly StrokesChecker strokes;
    private readonly RecordsChecker scaled;
    private readonly RecordsChecker written;

    /// <summary>Prepares the stage.</summary>
    /// <param name="settings">Job and machine.</param>
    /// <param name="output">Takes the records.</param>
    /// <param name="sink">Takes warnings.</param>
    /// <param name="charge">Compares the charge that figures ask for with what they get; null where nobody asks.</param>
    public RecordsStage(BuildSettings settings, IDocumentSink<RecordsHeader, DeflectionRecord>? output, DiagnosticSink sink, FigureCharge? charge = null)
    {
        machine = settings.Machine;
        written = new RecordsChecker(output);

        // The balance of charge is drawn before dwells make up for the blanker.
        scaled = machine.Blanker.IsCompensated ? new RecordsChecker(new BlankerTiming(machine.Blanker, written, sink)) : written;
        ScaleOptions options = StageOptions.Scale(settings.Job, machine) with { Blanker = null };
        if (charge is null)
        {
            strokes = new StrokesChecker(new ScalePass(options, scaled, sink));
            return;
        }

        // Markers tell the figures; they go no further than asked.
        IDocumentSink<RecordsHeader, DeflectionRecord> unmarked = options.WritesMarkers ? scaled : new WithoutMarkers(scaled);
        var scale = new ScalePass(
            options with { WritesMarkers = true }, new FanOut<RecordsHeader, DeflectionRecord>([charge.Records, unmarked]), sink);
        strokes = new StrokesChecker(new FanOut<StrokesHeader, Stroke>([charge.Strokes, scale]));
    }

    /// <summary>Strokes that have passed.</summary>
    public StrokeTotals Strokes => strokes.Totals;

    /// <summary>Records that have been written.</summary>
    public ExposureTotals Records => written.Totals;

    /// <inheritdoc/>
    public void Begin(StrokesHeader header) => strokes.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items) => strokes.Write(items);

    /// <inheritdoc/>
    public void End()
    {
        strokes.End();
        ChargeBalance.Check(strokes.Totals, scaled.Totals, machine.Clock, machine.Beam);
    }
}
