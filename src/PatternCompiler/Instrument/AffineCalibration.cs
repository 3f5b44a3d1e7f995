namespace PatternCompiler.Instrument;

/// <summary>
/// Commanded position for a wanted position, both on the sample in nanometres from the field's centre:
/// <c>x' = XX·x + XY·y + OffsetXNanometres</c>, <c>y' = YX·x + YY·y + OffsetYNanometres</c>. Covers gain, rotation,
/// skew and offset.
/// </summary>
public sealed record AffineCalibration(
    double XX,
    double XY,
    double OffsetXNanometres,
    double YX,
    double YY,
    double OffsetYNanometres)
{
    /// <summary>A perfect field.</summary>
    public static AffineCalibration Identity { get; } = new(1, 0, 0, 0, 1, 0);
}
