namespace PatternCompiler.VirtualLab.Truth;

/// <summary>The blanker: each edge of the blank line acts after a delay, then the beam rises or falls, evenly or exponentially.</summary>
/// <param name="OnDelaySeconds">From the line to the start of the rise.</param>
/// <param name="OffDelaySeconds">From the line to the start of the fall.</param>
/// <param name="RiseSeconds">From no beam to all of it; of an exponential rise its time constant.</param>
/// <param name="FallSeconds">From all of it to none, likewise.</param>
/// <param name="Leak">Part of the beam that comes through when it is off.</param>
public sealed record BlankerTruth(double OnDelaySeconds, double OffDelaySeconds, double RiseSeconds, double FallSeconds, double Leak)
{
    /// <summary>Edges approach their ends exponentially, and do not go there evenly.</summary>
    public bool IsExponential { get; init; }

    /// <summary>From the line's edge until a beam that is on at once would have given as much charge.</summary>
    public double MeanOnSeconds => OnDelaySeconds + (IsExponential ? RiseSeconds : RiseSeconds / 2);

    /// <summary>Likewise for turning off.</summary>
    public double MeanOffSeconds => OffDelaySeconds + (IsExponential ? FallSeconds : FallSeconds / 2);

    internal static BlankerTruth Draw(LabSetup setup, Dice dice)
    {
        double size = setup.Faults.HasFlag(LabFaults.Blanker) ? setup.BlankerSlowness : 0;
        return new BlankerTruth(
            size * dice.Ratio(2e-8, 4e-7), size * dice.Ratio(2e-8, 4e-7), size * dice.Ratio(1e-8, 2e-7), size * dice.Ratio(1e-8, 2e-7), 0);
    }
}
