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
/// From strokes to records: checks the strokes, scales them, balances their charge, makes up for the blanker's delays, checks
/// the records as they are written, and says which figures do not get the charge that they ask for.
/// </summary>
internal sealed class RecordsStage : IDocumentSink<StrokesHeader, Stroke>
{
    private readonly BuildSettings settings;
    private readonly DiagnosticSink sink;
    private readonly FigureCharge charge;
    private readonly BlankerTiming? timing;
    private readonly StrokesChecker strokes;
    private readonly RecordsChecker scaled;
    private readonly RecordsChecker written;

    /// <summary>Prepares the stage.</summary>
    /// <param name="settings">Job and machine.</param>
    /// <param name="output">Takes the records.</param>
    /// <param name="sink">Takes warnings.</param>
    /// <param name="charge">Compares the charge that figures ask for with what they get; null where nobody else asks.</param>
    public RecordsStage(BuildSettings settings, IDocumentSink<RecordsHeader, DeflectionRecord>? output, DiagnosticSink sink, FigureCharge? charge = null)
    {
        Machine machine = settings.Machine;
        this.settings = settings;
        this.sink = sink;
        this.charge = charge ?? new FigureCharge(machine.Beam, machine.Blanker);
        written = new RecordsChecker(output);
        ScaleOptions options = StageOptions.Scale(settings.Job, machine) with { Blanker = null };

        // Markers tell the figures; they go no further than asked.
        IDocumentSink<RecordsHeader, DeflectionRecord> unmarked = options.WritesMarkers ? written : new WithoutMarkers(written);
        var played = new FanOut<RecordsHeader, DeflectionRecord>([this.charge.Records, unmarked]);
        timing = machine.Blanker.IsCompensated ? new BlankerTiming(machine.Blanker, played) { ReachCodes = options.BlankerReachCodes } : null;

        // The balance of charge is drawn before dwells make up for the blanker.
        scaled = new RecordsChecker(timing is null ? played : timing);
        var scale = new ScalePass(options with { WritesMarkers = true }, scaled, timing is null ? null : () => timing.ElapsedTicks);
        strokes = new StrokesChecker(new FanOut<StrokesHeader, Stroke>([this.charge.Strokes, scale]));
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
        ChargeBalance.Check(strokes.Totals, scaled.Totals, settings.Machine.Clock, settings.Machine.Beam);
        FigureChargeReport.Report(charge, timing, settings.Machine, sink);
    }
}
