using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.Alignment;

/// <summary>Where a layer lies, as its marks tell it.</summary>
/// <param name="Model">What was fitted.</param>
/// <param name="Placement">Wanted → found.</param>
/// <param name="Parameters">Offset, rotation, scales and skew with their intervals, as many as were fitted.</param>
/// <param name="Marks">Every mark of the table, in its order.</param>
/// <param name="DegreesOfFreedom">Coordinates to spare.</param>
/// <param name="RootMeanSquareNanometres">Of the distances that the fit leaves, over the marks that it uses.</param>
/// <param name="LeaveOneOutNanometres">The same by a fit to all other marks; NaN where a mark cannot be left out.</param>
/// <param name="HasErrors">The errors of the marks are stated; else they are taken from what the fit leaves.</param>
internal sealed record AlignmentFit(
    AlignmentModel Model,
    LayerPlacement Placement,
    IReadOnlyList<FitParameter> Parameters,
    IReadOnlyList<FittedMark> Marks,
    int DegreesOfFreedom,
    double RootMeanSquareNanometres,
    double LeaveOneOutNanometres,
    bool HasErrors);

/// <summary>A mark and what the fit makes of it, in nanometres.</summary>
/// <param name="Mark">The mark.</param>
/// <param name="State">Whether it counts.</param>
/// <param name="ResidualX">Found less fitted; NaN where it was not found.</param>
/// <param name="ResidualY">Found less fitted; NaN where it was not found.</param>
/// <param name="LeaveOneOutX">The same by the fit to all others that count; of a mark left out this is its residual.</param>
/// <param name="LeaveOneOutY">The same by the fit to all others that count; of a mark left out this is its residual.</param>
internal sealed record FittedMark(AlignmentMark Mark, MarkState State, double ResidualX, double ResidualY, double LeaveOneOutX, double LeaveOneOutY);

/// <summary>Whether a mark counts.</summary>
internal enum MarkState
{
    /// <summary>It does.</summary>
    Used,

    /// <summary>It lies elsewhere than all others say.</summary>
    Displaced,

    /// <summary>Its picture does not show it.</summary>
    NotFound,
}
