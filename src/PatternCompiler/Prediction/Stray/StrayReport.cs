using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Stray;

/// <summary>What the jumps of a document expose.</summary>
/// <param name="Jumps">All jumps.</param>
/// <param name="Printing">Jumps along whose track an unexposed place reaches the onset dose.</param>
/// <param name="PrintedLengthNanometres">Length of all tracks that do.</param>
/// <param name="LargestDoseCoulombsPerSquareMetre">Largest stray dose on unexposed places along any track.</param>
/// <param name="Worst">Printing jumps, largest dose times length first; a bounded number.</param>
/// <param name="IsAlone">
/// Every jump was judged alone, as if it ran over bare areas: exposed ones, other tracks and background are left out.
/// </param>
public sealed record StrayReport(
    long Jumps,
    long Printing,
    double PrintedLengthNanometres,
    double LargestDoseCoulombsPerSquareMetre,
    ImmutableArray<StrayJump> Worst,
    bool IsAlone)
{
    /// <summary>The part of the printed length that lies around the pattern's bounds, where it does little harm; 0 where each jump was judged alone.</summary>
    public double OutsideLengthNanometres { get; init; }

    /// <summary>Largest energy of what leaks out of focus, as a part of the onset; 0 where nothing does, or each jump was judged alone.</summary>
    public double FogPartOfOnset { get; init; }

    /// <summary>The counts of both; neither's jumps are kept.</summary>
    public StrayReport With(StrayReport other) => new(
        Jumps + other.Jumps,
        Printing + other.Printing,
        PrintedLengthNanometres + other.PrintedLengthNanometres,
        Math.Max(LargestDoseCoulombsPerSquareMetre, other.LargestDoseCoulombsPerSquareMetre),
        [],
        IsAlone || other.IsAlone)
    {
        OutsideLengthNanometres = OutsideLengthNanometres + other.OutsideLengthNanometres,
        FogPartOfOnset = Math.Max(FogPartOfOnset, other.FogPartOfOnset),
    };

    /// <summary>Printed length, of which what lies around the pattern counts a sixteenth: to choose between plans.</summary>
    public double Harm => PrintedLengthNanometres - OutsideLengthNanometres * 15 / 16;
}
