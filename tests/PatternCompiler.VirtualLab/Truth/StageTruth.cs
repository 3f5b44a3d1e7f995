namespace PatternCompiler.VirtualLab.Truth;

/// <summary>The stage against the beam's axes.</summary>
/// <param name="RotationRadians">Of the stage's axes against the beam's, counter-clockwise.</param>
/// <param name="BacklashXNanometres">What is lost when x changes its sense.</param>
/// <param name="BacklashYNanometres">Likewise for y.</param>
/// <param name="RepeatNanometres">Standard deviation of a stop.</param>
public sealed record StageTruth(double RotationRadians, double BacklashXNanometres, double BacklashYNanometres, double RepeatNanometres)
{
    /// <summary>What a unit of the reading in x is on the sample, as the beam measures it.</summary>
    public double ScaleX { get; init; } = 1;

    /// <summary>Likewise for y.</summary>
    public double ScaleY { get; init; } = 1;

    /// <summary>By which the angle between the axes is less than a right one.</summary>
    public double SkewRadians { get; init; }

    /// <summary>Reading with the sample's origin under the undeflected beam, the screw come up to it.</summary>
    public (double X, double Y) OriginNanometres { get; init; }

    /// <summary>The x screw counts towards smaller x.</summary>
    public bool InvertX { get; init; }

    /// <summary>The y screw counts towards smaller y.</summary>
    public bool InvertY { get; init; }

    /// <summary>The screws stop at whole multiples of this; 0 for anywhere.</summary>
    public double StepNanometres { get; init; }

    internal static StageTruth Draw(LabSetup setup, Dice dice)
    {
        double size = setup.Faults.HasFlag(LabFaults.Stage) ? 1 : 0;
        return new StageTruth(size * dice.Normal(0, 0.015), size * dice.Between(0, 3000), size * dice.Between(0, 3000), size * dice.Between(0, 60));
    }
}
