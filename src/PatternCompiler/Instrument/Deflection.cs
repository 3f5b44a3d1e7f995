namespace PatternCompiler.Instrument;

/// <summary>From a place on the sample to the voltages of the X and Y outputs.</summary>
/// <param name="FieldWidthNanometres">Sample distance along x that the full voltage span of its output covers.</param>
/// <param name="FieldHeightNanometres">Sample distance along y that the full voltage span of its output covers.</param>
/// <param name="InvertX">A larger voltage moves the beam towards smaller x.</param>
/// <param name="InvertY">A larger voltage moves the beam towards smaller y.</param>
/// <param name="SwapAxes">The X output drives the sample's y axis and the Y output its x axis.</param>
/// <param name="Affine">Correction applied to sample positions before the ideal scaling.</param>
public sealed record Deflection(
    double FieldWidthNanometres,
    double FieldHeightNanometres,
    bool InvertX,
    bool InvertY,
    bool SwapAxes,
    AffineCalibration Affine);
