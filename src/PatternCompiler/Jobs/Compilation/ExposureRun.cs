using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>Carries what is written from one position of the stage to records, past those who watch; position after position.</summary>
internal sealed class ExposureRun(BuildSettings settings, IReadOnlyList<ExposureWatcher> watchers, CancellationToken cancellation)
{
    /// <summary>Starts at figures.</summary>
    public void RunFigures(StagePosition position, FiguresDocument figures, DiagnosticSink sink)
    {
        Begin(position);
        BuildSettings here = position.Of(settings);
        var charge = new FigureCharge(here.Machine.Beam, here.Machine.Blanker);
        var records = new RecordsStage(here, Records(), sink, charge);
        StrokesReport filled = StrokesStage.Run(figures, here, Strokes(records), sink, cancellation);
        End(new ExposedPart(figures.Figures.Count, records.Strokes, records.Records, filled, charge.ToEstimate()));
    }

    /// <summary>Starts at strokes, of so many figures.</summary>
    public void RunStrokes(StagePosition position, int figures, DiagnosticSink sink, Action<IDocumentSink<StrokesHeader, Stroke>> read)
    {
        Begin(position);
        BuildSettings here = position.Of(settings);
        var charge = new FigureCharge(here.Machine.Beam, here.Machine.Blanker);
        var records = new RecordsStage(here, Records(), sink, charge);
        read(Strokes(records));
        End(new ExposedPart(figures, records.Strokes, records.Records, StrokesReport.Empty, charge.ToEstimate()));
    }

    /// <summary>Starts at records, of so many figures.</summary>
    public void RunRecords(StagePosition position, int figures, Action<IDocumentSink<RecordsHeader, DeflectionRecord>> read)
    {
        Begin(position);
        var records = new RecordsChecker(Records());
        read(records);
        End(new ExposedPart(figures, null, records.Totals, StrokesReport.Empty, null));
    }

    private void Begin(StagePosition position)
    {
        foreach (ExposureWatcher watcher in watchers)
        {
            watcher.Begin(position);
        }
    }

    private void End(ExposedPart part)
    {
        foreach (ExposureWatcher watcher in watchers)
        {
            watcher.End(part);
        }
    }

    // Who watches strokes has seen them before anyone sees their records.
    private FanOut<StrokesHeader, Stroke> Strokes(RecordsStage next) =>
        new([.. watchers.Select(watcher => watcher.Strokes).OfType<IDocumentSink<StrokesHeader, Stroke>>(), next]);

    private FanOut<RecordsHeader, DeflectionRecord> Records() =>
        new([.. watchers.Select(watcher => watcher.Records).OfType<IDocumentSink<RecordsHeader, DeflectionRecord>>()]);
}
