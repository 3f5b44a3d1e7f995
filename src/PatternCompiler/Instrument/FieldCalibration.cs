namespace PatternCompiler.Instrument;

/// <summary>
/// The relation between the position that is commanded and the position where the beam lands, both on the sample in
/// nanometres from the field's centre.
/// </summary>
public abstract record FieldCalibration
{
    /// <summary>
    /// The affine relation wanted → commanded that touches this one at the field's centre; exact where the calibration is
    /// itself affine.
    /// </summary>
    public abstract AffineCalibration AtCentre { get; }

    /// <summary>True if straight lines on the sample are straight rows of codes.</summary>
    public abstract bool KeepsLinesStraight { get; }

    /// <summary>The numbers that tell this calibration from every other.</summary>
    public abstract IEnumerable<double> Numbers { get; }

    /// <summary>Where the beam lands.</summary>
    public abstract (double X, double Y) Land(double commandedX, double commandedY);

    /// <summary>
    /// What to command so that the beam lands at a wanted place. False if that place lies outside the area in which the
    /// calibration was measured.
    /// </summary>
    public abstract bool TryCommand(double wantedX, double wantedY, out double commandedX, out double commandedY);
}
