namespace PatternCompiler.VirtualLab.Truth;

/// <summary>The amplifier behind a converter, which makes of its voltage what the microscope's scan input gets.</summary>
/// <param name="Gain">Ideally 1.</param>
/// <param name="OffsetVolts">At no voltage.</param>
/// <param name="CubicPart">By which part of itself ten volts are bent; grows with the cube of the voltage.</param>
/// <param name="LowestVolts">Where it clips below.</param>
/// <param name="HighestVolts">Where it clips above.</param>
/// <param name="FromOther">Part of the other amplifier's own voltage that its output has beside its own.</param>
public sealed record AmplifierTruth(double Gain, double OffsetVolts, double CubicPart, double LowestVolts, double HighestVolts, double FromOther)
{
    private const double BentVolts = 10;

    /// <summary>What gives back what it gets.</summary>
    public static AmplifierTruth Ideal { get; } = new(1, 0, 0, double.NegativeInfinity, double.PositiveInfinity, 0);

    /// <summary>Its own voltage for that of its converter, without what it has from the other.</summary>
    public double Own(double volts) =>
        Math.Clamp(OffsetVolts + (Gain * volts * (1 + (CubicPart * volts * volts / (BentVolts * BentVolts)))), LowestVolts, HighestVolts);

    internal static AmplifierTruth Draw(LabSetup setup, Dice dice)
    {
        if (!setup.Faults.HasFlag(LabFaults.Amplifiers))
        {
            return Ideal;
        }

        double half = setup.RangeVolts / 2;
        return new AmplifierTruth(
            1 + dice.Normal(0, 0.005), dice.Normal(0, 0.0015 * half), dice.Normal(0, 1e-4), -half * dice.Between(0.92, 1.08), half * dice.Between(0.92, 1.08), dice.Normal(0, 5e-4));
    }
}
