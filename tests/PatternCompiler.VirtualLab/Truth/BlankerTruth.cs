namespace PatternCompiler.VirtualLab.Truth;

/// <summary>The blanker: each edge of the blank line acts after a delay, then the beam rises or falls evenly.</summary>
/// <param name="OnDelaySeconds">From the line to the start of the rise.</param>
/// <param name="OffDelaySeconds">From the line to the start of the fall.</param>
/// <param name="RiseSeconds">From no beam to all of it.</param>
/// <param name="FallSeconds">From all of it to none.</param>
/// <param name="Leak">Part of the beam that comes through when it is off.</param>
public sealed record BlankerTruth(double OnDelaySeconds, double OffDelaySeconds, double RiseSeconds, double FallSeconds, double Leak)
{
    internal static BlankerTruth Draw(LabSetup setup, Dice dice)
    {
        double size = setup.Faults.HasFlag(LabFaults.Blanker) ? setup.BlankerSlowness : 0;
        return new BlankerTruth(
            size * dice.Ratio(2e-8, 4e-7), size * dice.Ratio(2e-8, 4e-7), size * dice.Ratio(1e-8, 2e-7), size * dice.Ratio(1e-8, 2e-7), 0);
    }
}
