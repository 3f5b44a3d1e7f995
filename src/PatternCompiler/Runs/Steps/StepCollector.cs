using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Runs.Steps;

/// <summary>Keeps the figures of each position of the stage as they pass, fractured and corrected.</summary>
internal sealed class StepCollector : ExposureWatcher
{
    private readonly List<(StagePosition Position, FiguresDocument Figures)> parts = [];
    private FiguresDocument? all;
    private StagePosition? position;
    private int taken;

    /// <summary>The positions in the order of their visits.</summary>
    public IReadOnlyList<(StagePosition Position, FiguresDocument Figures)> Parts => parts;

    /// <inheritdoc/>
    public override void See(FiguresDocument figures) => all = figures;

    /// <inheritdoc/>
    public override void Begin(StagePosition position) => this.position = position;

    /// <inheritdoc/>
    public override void End(ExposedPart part)
    {
        parts.Add((position!, all! with { Figures = [.. all.Figures.Skip(taken).Take(part.Figures)] }));
        taken += part.Figures;
    }
}
