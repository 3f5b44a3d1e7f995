using System.Collections.Immutable;
using PatternCompiler.Checks;

namespace PatternCompiler.Jobs;

/// <summary>What a build has made, in figures.</summary>
/// <param name="JobName">Name of the job.</param>
/// <param name="MachineName">Name of the machine.</param>
/// <param name="ProcessName">Name of the process.</param>
/// <param name="Figures">Figures and their extent.</param>
/// <param name="Strokes">Strokes and their charge.</param>
/// <param name="Exposure">Records and their ticks.</param>
/// <param name="ClockHertz">Ticks per second.</param>
/// <param name="Files">The files, kept documents first.</param>
public sealed record BuildSummary(
    string JobName,
    string MachineName,
    string ProcessName,
    FigureTotals Figures,
    StrokeTotals Strokes,
    ExposureTotals Exposure,
    double ClockHertz,
    ImmutableArray<BuiltFile> Files)
{
    /// <summary>Time with the beam on.</summary>
    public double ExposingSeconds => Exposure.ExposedTicks / ClockHertz;

    /// <summary>Time of jumps with their settling, and of waits.</summary>
    public double MovingSeconds => (Exposure.SettleTicks + Exposure.WaitTicks) / ClockHertz;

    /// <summary>Time of everything.</summary>
    public double WriteSeconds => Exposure.Ticks / ClockHertz;
}
