namespace PatternCompiler.Prediction.Estimate;

/// <summary>Charge that figures ask for against the charge that whole clock ticks deliver.</summary>
/// <param name="Figures">Figures compared.</param>
/// <param name="MeanRelative">Mean size of the difference, as a part of a figure's charge.</param>
/// <param name="WorstRelative">Largest difference, as a part of its figure's charge; positive where too much is delivered.</param>
/// <param name="WorstFigure">The figure with it, −1 if there is none.</param>
/// <param name="WorstTicks">The largest difference of any figure in clock ticks.</param>
public readonly record struct FigureChargeEstimate(
    long Figures, double MeanRelative, double WorstRelative, long WorstFigure, double WorstTicks)
{
    /// <summary>Together with figures that are written from another position of the stage; the worst figure keeps its number there.</summary>
    public FigureChargeEstimate With(FigureChargeEstimate other)
    {
        if (Figures == 0 || other.Figures == 0)
        {
            return Figures == 0 ? other : this;
        }

        FigureChargeEstimate worst = Math.Abs(other.WorstRelative) > Math.Abs(WorstRelative) ? other : this;
        return new(
            Figures + other.Figures,
            (MeanRelative * Figures + other.MeanRelative * other.Figures) / (Figures + other.Figures),
            worst.WorstRelative,
            worst.WorstFigure,
            Math.Max(WorstTicks, other.WorstTicks));
    }
}
