namespace PatternCompiler.Prediction.Estimate;

/// <summary>What the stage adds to an exposure in several write fields.</summary>
/// <param name="Fields">Number of write fields.</param>
/// <param name="MoveSeconds">Time of all moves between them.</param>
public sealed record StageEstimate(int Fields, double MoveSeconds);
