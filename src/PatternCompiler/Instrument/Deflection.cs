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
    /// <summary>What each output feels of the other; null for nothing.</summary>
    public OutputCrosstalk? Crosstalk { get; init; }

    /// <summary>What a job places its layer by; null for a layer that lies where it was drawn.</summary>
    public LayerAlignment? Alignment { get; init; }

    /// <summary>The part of the alignment that holds where the stage stands; null for none.</summary>
    public LayerPlacement? Placement { get; init; }

    /// <summary>What to command for a place of the drawing, the layer's placement among it.</summary>
    internal FieldCalibration Command => Placement?.Before(Calibration) ?? Calibration;

    /// <summary>Codes over which the X output's amplifier follows; null for all.</summary>
    public CodeRange? UsableX { get; init; }

    /// <summary>Codes over which the Y output's amplifier follows; null for all.</summary>
    public CodeRange? UsableY { get; init; }

    // Usable codes change no record: they refuse some. Documents keep the digests they had before there was crosstalk.
    internal IEnumerable<SettingLine> Lines =>
    [
        new("field", FieldWidthNanometres, FieldHeightNanometres, SettingLine.Truth(InvertX), SettingLine.Truth(InvertY), SettingLine.Truth(SwapAxes)),
        new("calibration", [.. Calibration.Numbers]),
        new("linearity x", [.. LinearityX?.Numbers ?? []]),
        new("linearity y", [.. LinearityY?.Numbers ?? []]),
        .. Crosstalk is { } felt ? (SettingLine[])[new("crosstalk", felt.XFromY, felt.YFromX)] : [],
        .. Alignment?.Lines ?? [],
    ];
}

/// <summary>
/// What an output gives beside what its own code asks for: a part of the voltage by which the other output's code is away from the
/// middle of the range. It acts between the converters and the microscope, before whatever a field calibration has measured.
/// </summary>
/// <param name="XFromY">Volts of the X output per volt of the Y output's own.</param>
/// <param name="YFromX">Volts of the Y output per volt of the X output's own.</param>
public sealed record OutputCrosstalk(double XFromY, double YFromX);

/// <summary>Codes from the lowest to the highest, both among them.</summary>
public readonly record struct CodeRange(int Lowest, int Highest)
{
    /// <summary>True if a code is one of them.</summary>
    public bool Holds(long code) => code >= Lowest && code <= Highest;
}
