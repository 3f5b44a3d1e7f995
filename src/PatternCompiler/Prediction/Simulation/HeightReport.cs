namespace PatternCompiler.Prediction.Simulation;

/// <summary>What is left of the film where a part of it is wanted. Numbers are parts of the film.</summary>
/// <param name="Wanted">What is to remain.</param>
/// <param name="Places">Places that were looked at.</param>
/// <param name="Mean">What remains on average.</param>
/// <param name="RootMeanSquareError">Root mean square of what remains less what is wanted.</param>
/// <param name="WorstError">The largest of these differences.</param>
/// <param name="WorstXNanometres">Where.</param>
/// <param name="WorstYNanometres">Where.</param>
/// <param name="IsNarrow">True if the area is narrower than its borders are blurred, so that they count, too.</param>
internal sealed record HeightReport(
    double Wanted, long Places, double Mean, double RootMeanSquareError, double WorstError, double WorstXNanometres, double WorstYNanometres, bool IsNarrow);
