namespace PatternCompiler.VirtualLab.Truth;

/// <summary>The stage against the beam's axes.</summary>
/// <param name="RotationRadians">Of the stage's axes against the beam's, counter-clockwise.</param>
/// <param name="BacklashXNanometres">What is lost when x changes its sense.</param>
/// <param name="BacklashYNanometres">Likewise for y.</param>
/// <param name="RepeatNanometres">Standard deviation of a stop.</param>
public sealed record StageTruth(double RotationRadians, double BacklashXNanometres, double BacklashYNanometres, double RepeatNanometres)
{
    internal static StageTruth Draw(LabSetup setup, Dice dice)
    {
        double size = setup.Faults.HasFlag(LabFaults.Stage) ? 1 : 0;
        return new StageTruth(size * dice.Normal(0, 0.015), size * dice.Between(0, 3000), size * dice.Between(0, 3000), size * dice.Between(0, 60));
    }
}
