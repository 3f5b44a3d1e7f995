namespace PatternCompiler.Prediction.Stray;

/// <summary>One command of the deflection with the beam off, or as far off as it gets.</summary>
/// <param name="FromX">Where the beam really is, in nanometres.</param>
/// <param name="FromY">As <paramref name="FromX"/>.</param>
/// <param name="GoalX">Where it is sent.</param>
/// <param name="GoalY">As <paramref name="GoalX"/>.</param>
/// <param name="Seconds">Time until the next command.</param>
/// <param name="FullSeconds">How long the whole beam still comes through: what is left of the blanker's delay.</param>
/// <param name="Record">Number of the record, 0-based.</param>
/// <param name="Jump">Number of the jump among all jumps.</param>
/// <param name="FromFigure">Figure exposed before, or −1.</param>
/// <param name="ToFigure">Figure exposed next, or −1.</param>
internal readonly record struct StrayTrack(
    double FromX, double FromY, double GoalX, double GoalY, double Seconds, double FullSeconds, long Record, long Jump, int FromFigure, int ToFigure);
