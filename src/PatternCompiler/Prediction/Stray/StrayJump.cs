using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Stray;

/// <summary>A jump along whose track an unexposed place reaches the onset dose.</summary>
/// <param name="Record">Number of the record, 0-based.</param>
/// <param name="FromXNanometres">Where the beam leaves.</param>
/// <param name="FromYNanometres">Where the beam leaves.</param>
/// <param name="ToXNanometres">Where it is sent.</param>
/// <param name="ToYNanometres">Where it is sent.</param>
/// <param name="PeakDoseCoulombsPerSquareMetre">Largest dose on the printed part, of this jump, all others and the pattern's background together.</param>
/// <param name="OwnDoseCoulombsPerSquareMetre">This jump's own part of it.</param>
/// <param name="PrintedLengthNanometres">Length of the track that reaches the onset.</param>
/// <param name="PrintedWidthNanometres">Mean width of that part.</param>
/// <param name="Cause">Why the beam is on where the dose is largest.</param>
public readonly record struct StrayJump(
    long Record,
    double FromXNanometres,
    double FromYNanometres,
    double ToXNanometres,
    double ToYNanometres,
    double PeakDoseCoulombsPerSquareMetre,
    double OwnDoseCoulombsPerSquareMetre,
    double PrintedLengthNanometres,
    double PrintedWidthNanometres,
    StrayCause Cause)
{
    /// <summary>Where the printed stretches lie, in nanometres from the field's centre.</summary>
    public ImmutableArray<ImmutableArray<(double X, double Y)>> Stretches { get; init; }

    /// <summary>The part of the printed length that lies around the pattern's bounds.</summary>
    public double OutsideLengthNanometres { get; init; }

    /// <summary>Name of the write field, in which figures have numbers of their own; null where everything is written from one position.</summary>
    public string? Field { get; init; }

    /// <summary>Figure that was exposed last, or −1 if that is not known.</summary>
    public int FromFigure { get; init; }

    /// <summary>Figure that is exposed next, or −1 if that is not known.</summary>
    public int ToFigure { get; init; }
}

/// <summary>Why a jump exposes.</summary>
public enum StrayCause
{
    /// <summary>The blanker lets part of the beam through.</summary>
    Leak,

    /// <summary>The beam is still on while the deflection sets off.</summary>
    LateBlanking,

    /// <summary>There is no blanker.</summary>
    NoBlanker,
}
