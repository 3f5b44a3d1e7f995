using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Stray;

/// <summary>What the jumps of a document expose. Ground that is exposed anyway is not taken off: this is an upper bound.</summary>
/// <param name="Jumps">All jumps.</param>
/// <param name="Printing">Jumps whose track reaches the onset dose.</param>
/// <param name="PrintedLengthNanometres">Length of all tracks that do.</param>
/// <param name="LargestDoseCoulombsPerSquareMetre">Largest dose on any track.</param>
/// <param name="Worst">Printing jumps, largest dose times length first; a bounded number.</param>
public sealed record StrayReport(
    long Jumps,
    long Printing,
    double PrintedLengthNanometres,
    double LargestDoseCoulombsPerSquareMetre,
    ImmutableArray<StrayJump> Worst);
