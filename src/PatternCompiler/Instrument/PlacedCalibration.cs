namespace PatternCompiler.Instrument;

/// <summary>A distorted field in which the drawing is placed on the layer below: what is wanted is a place of the drawing.</summary>
/// <param name="Field">The field's own calibration, commanded → where the beam lands.</param>
/// <param name="Placement">Place of the drawing → where the beam must land.</param>
internal sealed record PlacedCalibration(FieldCalibration Field, LayerPlacement Placement) : FieldCalibration
{
    /// <inheritdoc/>
    public override AffineCalibration AtCentre => Placement.Before(Field.AtCentre);

    /// <inheritdoc/>
    public override bool KeepsLinesStraight => Field.KeepsLinesStraight;

    /// <inheritdoc/>
    public override IEnumerable<double> Numbers => [4, .. Placement.Numbers, .. Field.Numbers];

    /// <inheritdoc/>
    public override (double X, double Y) Land(double commandedX, double commandedY)
    {
        (double x, double y) = Field.Land(commandedX, commandedY);
        return Placement.Drawn(x, y);
    }

    /// <inheritdoc/>
    public override bool TryCommand(double wantedX, double wantedY, out double commandedX, out double commandedY)
    {
        (double x, double y) = Placement.Land(wantedX, wantedY);
        return Field.TryCommand(x, y, out commandedX, out commandedY);
    }
}
