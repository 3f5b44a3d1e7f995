namespace PatternCompiler.Prediction.Stray;

/// <summary>A jump whose track reaches the onset dose, away from its two ends.</summary>
/// <param name="Record">Number of the record, 0-based.</param>
/// <param name="FromXNanometres">Where the beam leaves.</param>
/// <param name="FromYNanometres">Where the beam leaves.</param>
/// <param name="ToXNanometres">Where it lands.</param>
/// <param name="ToYNanometres">Where it lands.</param>
/// <param name="PeakDoseCoulombsPerSquareMetre">Largest dose on the track.</param>
/// <param name="PrintedLengthNanometres">Length of the track that reaches the onset.</param>
/// <param name="PrintedWidthNanometres">Largest width that does.</param>
/// <param name="Cause">Why the beam is on where the dose is largest.</param>
public readonly record struct StrayJump(
    long Record,
    double FromXNanometres,
    double FromYNanometres,
    double ToXNanometres,
    double ToYNanometres,
    double PeakDoseCoulombsPerSquareMetre,
    double PrintedLengthNanometres,
    double PrintedWidthNanometres,
    StrayCause Cause);
