using System.Collections.Immutable;

namespace PatternCompiler.VirtualLab.Truth;

/// <summary>One Gaussian of the energy's spread, exp(-r²/a²)/(π·a²), with its energy over that of the first.</summary>
public readonly record struct SpreadPart(double RangeNanometres, double Ratio);

/// <summary>A resist on its substrate.</summary>
/// <param name="IsNegative">It stays where it is exposed.</param>
/// <param name="ThicknessNanometres">Film before exposure.</param>
/// <param name="OnsetMicrocoulombs">Large-area dose (µC/cm²) at which the thickness starts to change.</param>
/// <param name="ClearingMicrocoulombs">Large-area dose from which it is gone (negative: whole).</param>
/// <param name="Shape">Between them the change goes as the part of the way in log(dose), to this power; 1 is a straight contrast curve.</param>
/// <param name="LateralNanometres">How far development moves the edge of the exposed region outward.</param>
/// <param name="Spread">The spread of an ideally fine beam, forward part first with ratio 1.</param>
public sealed record ResistTruth(
    bool IsNegative,
    double ThicknessNanometres,
    double OnsetMicrocoulombs,
    double ClearingMicrocoulombs,
    double Shape,
    double LateralNanometres,
    ImmutableArray<SpreadPart> Spread)
{
    /// <summary>
    /// Energy, as the dose of a large area, at which an edge is seen: a positive resist is gone there; of a negative one half of the
    /// film stands.
    /// </summary>
    public double EdgeMicrocoulombs => IsNegative
        ? OnsetMicrocoulombs * Math.Pow(ClearingMicrocoulombs / OnsetMicrocoulombs, Math.Pow(0.5, 1 / Shape))
        : ClearingMicrocoulombs;

    /// <summary>Part of the film that is left, 0 to 1, where a large-area dose was absorbed.</summary>
    public double Remaining(double microcoulombs)
    {
        double way = Math.Log(Math.Max(microcoulombs, 1e-12) / OnsetMicrocoulombs) / Math.Log(ClearingMicrocoulombs / OnsetMicrocoulombs);
        double changed = Math.Pow(Math.Clamp(way, 0, 1), Shape);
        return IsNegative ? changed : 1 - changed;
    }

    internal static ResistTruth Draw(LabSetup setup, Dice dice)
    {
        double clearing = setup.ClearingMicrocoulombs * dice.Ratio(0.5, 2);
        double contrast = dice.Ratio(2.5, 8);
        return new ResistTruth(
            setup.IsNegative,
            setup.ThicknessNanometres * dice.Between(0.9, 1.1),
            clearing / Math.Pow(10, 1 / contrast),
            clearing,
            dice.Between(0.85, 1.2),
            dice.Between(-4, 14) * (setup.Faults.HasFlag(LabFaults.Lateral) ? 1 : 0),
            [
                new SpreadPart(setup.ForwardNanometres * dice.Between(0.8, 1.25), 1),
                new SpreadPart(setup.BackscatterNanometres * dice.Between(0.85, 1.15), setup.BackscatterRatio * dice.Between(0.8, 1.25)),
            ]);
    }
}
