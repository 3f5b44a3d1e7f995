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
        (RecordsStage stage, StrokesReport filled) = Watched(records =>
        {
            var stage = new RecordsStage(here, records, sink, charge);
            return (stage, StrokesStage.Run(figures, here, Strokes(stage), sink, cancellation));
        });
        End(new ExposedPart(figures.Figures.Count, stage.Strokes, stage.Records, filled, charge.ToEstimate()));
    }

    /// <summary>Starts at strokes, of so many figures.</summary>
    public void RunStrokes(StagePosition position, int figures, DiagnosticSink sink, Action<IDocumentSink<StrokesHeader, Stroke>> read)
    {
        Begin(position);
        BuildSettings here = position.Of(settings);
        var charge = new FigureCharge(here.Machine.Beam, here.Machine.Blanker);
        RecordsStage stage = Watched(records =>
        {
            var stage = new RecordsStage(here, records, sink, charge);
            read(Strokes(stage));
            return stage;
        });
        End(new ExposedPart(figures, stage.Strokes, stage.Records, StrokesReport.Empty, charge.ToEstimate()));
    }

    /// <summary>Starts at records, of so many figures.</summary>
    public void RunRecords(StagePosition position, int figures, Action<IDocumentSink<RecordsHeader, DeflectionRecord>> read)
    {
        Begin(position);
        RecordsChecker checker = Watched(records =>
        {
            var checker = new RecordsChecker(records);
            read(checker);
            return checker;
        });
        End(new ExposedPart(figures, null, checker.Totals, StrokesReport.Empty, null));
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

    private FanOut<StrokesHeader, Stroke> Strokes(RecordsStage next) =>
        new([.. watchers.Select(watcher => watcher.Strokes).OfType<IDocumentSink<StrokesHeader, Stroke>>(), next]);

    /// <summary>
    /// Makes records, which are watched on another thread; on this one where somebody watches strokes too, and has then seen them before
    /// their records.
    /// </summary>
    private T Watched<T>(Func<IDocumentSink<RecordsHeader, DeflectionRecord>, T> make)
    {
        IDocumentSink<RecordsHeader, DeflectionRecord>[] sinks = [.. watchers.Select(watcher => watcher.Records).OfType<IDocumentSink<RecordsHeader, DeflectionRecord>>()];
        var records = new FanOut<RecordsHeader, DeflectionRecord>(sinks);
        return sinks.Length == 0 || watchers.Any(watcher => watcher.Strokes is not null)
            ? make(records)
            : HandingOn<RecordsHeader, DeflectionRecord>.Run(records, make);
    }
}
