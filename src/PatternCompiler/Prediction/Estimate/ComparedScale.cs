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
    private readonly FigureCharge charge;
    private readonly ScalePass scale;

    /// <summary>Scales into <paramref name="output"/> and compares in <paramref name="charge"/>.</summary>
    public ComparedScale(FigureCharge charge, ScaleOptions options, IDocumentSink<RecordsHeader, DeflectionRecord> output, DiagnosticSink? sink = null)
    {
        this.charge = charge;
        IDocumentSink<RecordsHeader, DeflectionRecord> timed =
            options.Blanker is { IsCompensated: true } blanker ? new BlankerTiming(blanker, output, sink) : output;

        // Markers tell the figures; they go no further than asked.
        IDocumentSink<RecordsHeader, DeflectionRecord> next = options.WritesMarkers ? timed : new WithoutMarkers(timed);
        scale = new ScalePass(options with { Blanker = null, WritesMarkers = true }, new Tap(charge, next), sink);
    }

    /// <inheritdoc/>
    public void Begin(StrokesHeader header)
    {
        charge.Strokes.Begin(header);
        scale.Begin(header);
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        charge.Strokes.Write(items);
        scale.Write(items);
    }

    /// <inheritdoc/>
    public void End()
    {
        charge.Strokes.End();
        scale.End();
    }

    /// <summary>Shows records to the comparison and passes them on.</summary>
    private sealed class Tap(FigureCharge charge, IDocumentSink<RecordsHeader, DeflectionRecord> next) : IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        public void Begin(RecordsHeader header)
        {
            charge.Records.Begin(header);
            next.Begin(header);
        }

        public void Write(ReadOnlySpan<DeflectionRecord> items)
        {
            charge.Records.Write(items);
            next.Write(items);
        }

        public void End()
        {
            charge.Records.End();
            next.End();
        }
    }
}
