using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Stray;

/// <summary>What the jumps of a document expose.</summary>
/// <param name="Jumps">All jumps.</param>
/// <param name="Printing">Jumps along whose track bare ground reaches the onset dose.</param>
/// <param name="PrintedLengthNanometres">Length of all tracks that do.</param>
/// <param name="LargestDoseCoulombsPerSquareMetre">Largest stray dose on bare ground along any track.</param>
/// <param name="Worst">Printing jumps, largest dose times length first; a bounded number.</param>
/// <param name="IsAlone">
/// Every jump was judged alone, as if it ran over bare ground: exposed ground, other tracks and background are left out.
/// </param>
public sealed record StrayReport(
    long Jumps,
    long Printing,
    double PrintedLengthNanometres,
    double LargestDoseCoulombsPerSquareMetre,
    ImmutableArray<StrayJump> Worst,
    bool IsAlone);
