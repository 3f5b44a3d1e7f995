using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Passes.Timing;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// Scales as <see cref="ScalePass"/> does, to the same records, and has the charge that figures ask for compared with the
/// charge that whole ticks deliver, before dwells make up for the blanker.
/// </summary>
public sealed class ComparedScale : IDocumentSink<StrokesHeader, Stroke>
{
    private readonly FanOut<StrokesHeader, Stroke> both;

    /// <summary>Scales into <paramref name="output"/> and compares in <paramref name="charge"/>.</summary>
    public ComparedScale(FigureCharge charge, ScaleOptions options, IDocumentSink<RecordsHeader, DeflectionRecord> output, DiagnosticSink? sink = null)
    {
        IDocumentSink<RecordsHeader, DeflectionRecord> timed =
            options.Blanker is { IsCompensated: true } blanker ? new BlankerTiming(blanker, output, sink) : output;

        // Markers tell the figures; they go no further than asked.
        IDocumentSink<RecordsHeader, DeflectionRecord> next = options.WritesMarkers ? timed : new WithoutMarkers(timed);
        var scale = new ScalePass(
            options with { Blanker = null, WritesMarkers = true }, new FanOut<RecordsHeader, DeflectionRecord>([charge.Records, next]), sink);
        both = new FanOut<StrokesHeader, Stroke>([charge.Strokes, scale]);
    }

    /// <inheritdoc/>
    public void Begin(StrokesHeader header) => both.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items) => both.Write(items);

    /// <inheritdoc/>
    public void End() => both.End();
}
