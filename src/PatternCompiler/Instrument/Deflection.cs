namespace PatternCompiler.Instrument;

/// <summary>From a place on the sample to the voltages of the X and Y outputs.</summary>
/// <param name="FieldWidthNanometres">Sample distance along x that the full voltage span of its output covers.</param>
/// <param name="FieldHeightNanometres">Sample distance along y that the full voltage span of its output covers.</param>
/// <param name="InvertX">A larger voltage moves the beam towards smaller x.</param>
/// <param name="InvertY">A larger voltage moves the beam towards smaller y.</param>
/// <param name="SwapAxes">The X output drives the sample's y axis and the Y output its x axis.</param>
/// <param name="Calibration">What to command so that the beam lands where it is wanted; applied before the ideal scaling.</param>
/// <param name="LinearityX">Nonlinearity of the X output's converter; null for an ideal one.</param>
/// <param name="LinearityY">Nonlinearity of the Y output's converter; null for an ideal one.</param>
public sealed record Deflection(
    double FieldWidthNanometres,
    double FieldHeightNanometres,
    bool InvertX,
    bool InvertY,
    bool SwapAxes,
    FieldCalibration Calibration,
    CodeLinearity? LinearityX = null,
    CodeLinearity? LinearityY = null)
{
    internal IEnumerable<SettingLine> Lines =>
    [
        new("field", FieldWidthNanometres, FieldHeightNanometres, SettingLine.Truth(InvertX), SettingLine.Truth(InvertY), SettingLine.Truth(SwapAxes)),
        new("calibration", [.. Calibration.Numbers]),
        new("linearity x", [.. LinearityX?.Numbers ?? []]),
        new("linearity y", [.. LinearityY?.Numbers ?? []]),
    ];
}
