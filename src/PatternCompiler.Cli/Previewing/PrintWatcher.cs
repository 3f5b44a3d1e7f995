using PatternCompiler.Cli.Simulating;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Reports;
using PatternCompiler.Reports.Player;

namespace PatternCompiler.Cli.Previewing;

/// <summary>Predicts what prints in a part of the pattern while a page's records pass.</summary>
/// <param name="settings">Machine, and a process that says how energy spreads.</param>
/// <param name="wanted">The part; null for where most edges lie, which is known of drawings.</param>
internal sealed class PrintWatcher(BuildSettings settings, SampleWindow? wanted) : ExposureWatcher
{
    private const double Shape = 0.8;
    private const int MostCorners = 200_000;
    private SampleWindow? window = wanted;
    private FieldPlan? plan;
    private ChargeMap? charge;
    private ReplayWatcher? replay;

    /// <inheritdoc/>
    public override void See(FlatLayout layout)
    {
        double width = PredictedResist.WidthFor(settings.Machine);
        window ??= FinestPlace.Choose(layout, width, width * Shape);
    }

    /// <inheritdoc/>
    public override void See(FieldPlan plan) => this.plan = plan;

    /// <inheritdoc/>
    public override void Begin(StagePosition position)
    {
        if (window is null)
        {
            return;
        }

        charge ??= ChargeMap.For(settings.Machine.Blanker, PredictedResist.PixelFor(settings.Machine), window);
        if (replay is null)
        {
            replay = new ReplayWatcher(settings.Machine, charge);
            if (plan is not null)
            {
                replay.See(plan);
            }
        }

        replay.Begin(position);
    }

    /// <inheritdoc/>
    public override IDocumentSink<RecordsHeader, DeflectionRecord>? Records => replay?.Records;

    /// <summary>The outlines; null where no part is known.</summary>
    public PlayerPrint? ToPrint(CancellationToken cancellation)
    {
        if (charge is null || window is not { } part)
        {
            return null;
        }

        SimulationResult developed = Developer.Run(charge, null, PrintSimulation.Options(settings), cancellation);
        return new PlayerPrint(developed.GridPicometres, developed.Printed, part, MostCorners);
    }
}
