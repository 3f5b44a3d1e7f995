namespace PatternCompiler.Prediction.Estimate;

/// <summary>Charge that figures ask for against the charge that whole clock ticks deliver.</summary>
/// <param name="Figures">Figures compared.</param>
/// <param name="MeanRelative">Mean size of the difference, as a part of a figure's charge.</param>
/// <param name="WorstRelative">Largest difference, as a part of its figure's charge; positive where too much is delivered.</param>
/// <param name="WorstFigure">The figure with it, −1 if there is none.</param>
/// <param name="WorstTicks">The largest difference of any figure in clock ticks.</param>
public readonly record struct FigureChargeEstimate(
    long Figures, double MeanRelative, double WorstRelative, long WorstFigure, double WorstTicks);
