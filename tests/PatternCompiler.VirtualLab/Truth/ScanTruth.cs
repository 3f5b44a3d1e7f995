namespace PatternCompiler.VirtualLab.Truth;

/// <summary>How one axis of the scan really moves: two poles side by side behind the play of a magnet.</summary>
/// <param name="FastSeconds">Time constant of coil and amplifier.</param>
/// <param name="SlowPart">Part of a step that eddy currents hold back.</param>
/// <param name="SlowSeconds">Their time constant.</param>
/// <param name="PlayNanometres">By so much a place differs that is reached from either side.</param>
public sealed record ScanTruth(double FastSeconds, double SlowPart, double SlowSeconds, double PlayNanometres)
{
    internal static ScanTruth Draw(Dice dice) =>
        new(dice.Ratio(3e-6, 9e-6), dice.Between(0.04, 0.12), dice.Ratio(1e-4, 3e-4), dice.Between(2800, 3200));
}
