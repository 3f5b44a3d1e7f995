using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>Passes the documents of a pattern that is written from one position of the stage to sinks.</summary>
/// <param name="strokes">Takes the strokes, or null.</param>
/// <param name="records">Takes the records, or null.</param>
internal sealed class SinkWatcher(IDocumentSink<StrokesHeader, Stroke>? strokes, IDocumentSink<RecordsHeader, DeflectionRecord>? records) : ExposureWatcher
{
    /// <inheritdoc/>
    public override IDocumentSink<StrokesHeader, Stroke>? Strokes => strokes;

    /// <inheritdoc/>
    public override IDocumentSink<RecordsHeader, DeflectionRecord>? Records => records;
}
