using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Route;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Jobs;

/// <summary>
/// From figures to strokes. Where jumps are to be led around, several plans are tried and judged by what the records made
/// from them would print; the one that prints least is taken.
/// </summary>
internal static class StrokesStage
{
    /// <summary>Fills figures.</summary>
    /// <param name="figures">The figures.</param>
    /// <param name="settings">Job, machine and process.</param>
    /// <param name="output">Takes the strokes.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the work.</param>
    public static StrokesReport Run(
        FiguresDocument figures,
        BuildSettings settings,
        IDocumentSink<StrokesHeader, Stroke> output,
        DiagnosticSink sink,
        CancellationToken cancellation)
    {
        FillOptions straight = StageOptions.Fill(settings.Job, settings.Machine, settings.Process);
        ParkCheck.Run(figures, settings.Machine, settings.Process, straight.Park, sink);
        if (StageOptions.Route(settings.Job, settings.Machine, settings.Process) is not RouteOptions route || figures.Figures.Count == 0)
        {
            return new StrokesReport(FillPass.Run(figures, straight, output, sink, cancellation), null);
        }

        StrayReport before = Judge(straight);
        (FillOptions Plan, StrayReport Report) best = (straight, before);
        foreach (FillOptions plan in (IEnumerable<FillOptions>)
            [
                straight with { Route = route, Order = straight.Order with { Islands = FigureIslands.Of(figures) } },
                straight with { Route = route },
            ])
        {
            if (best.Report.Printing > 0 && Judge(plan) is { } report && report.Harm < best.Report.Harm)
            {
                best = (plan, report);
            }
        }

        FillReport filled = FillPass.Run(figures, best.Plan, output, sink, cancellation);
        if (before.Printing > 0)
        {
            sink.Note(
                OrderCodes.HiddenTravel,
                $"jumps led around: {StrayText.CountOf(best.Report)}; led straight, {StrayText.CountOf(before)}");
        }

        return new StrokesReport(filled, before);

        StrayReport Judge(FillOptions plan)
        {
            var scan = StrayScan.For(settings.Machine, settings.Process);
            FillPass.Run(figures, plan, new ScalePass(StageOptions.Scale(settings.Job, settings.Machine), scan), new DiagnosticSink(), cancellation);
            return scan.ToReport();
        }
    }
}
