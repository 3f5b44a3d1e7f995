using PatternCompiler.Passes.Proximity;

namespace PatternCompiler.Jobs;

/// <summary>How a job wants doses corrected for scattered electrons.</summary>
/// <param name="Target">What is made equal.</param>
/// <param name="Tolerance">Largest relative error of the target energy.</param>
/// <param name="LargestIterations">Iterations after which the correction stops in any case.</param>
/// <param name="SmallestPieceNanometres">Figures are not cut smaller than this where the background changes.</param>
/// <param name="DoseClasses">Number of different corrections; 0 for as many as come out.</param>
public sealed record CorrectionSettings(
    ProximityTarget Target, double Tolerance, int LargestIterations, double SmallestPieceNanometres, int DoseClasses)
{
    /// <summary>Edges equal within half a percent.</summary>
    public static CorrectionSettings Default { get; } = new(ProximityTarget.Edge, 0.005, 60, 100, 0);
}
