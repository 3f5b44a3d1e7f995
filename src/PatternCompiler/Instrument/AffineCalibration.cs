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
    double OffsetYNanometres) : FieldCalibration
{
    /// <summary>The calibration of a field in which the beam lands at <c>XX·x + XY·y + OffsetXNanometres</c> for a commanded x and y, and so for y.</summary>
    public static AffineCalibration FromLanding(double xx, double xy, double offsetXNanometres, double yx, double yy, double offsetYNanometres) =>
        new AffineCalibration(xx, xy, offsetXNanometres, yx, yy, offsetYNanometres).Inverse;

    /// <summary>The relation in the other direction.</summary>
    internal AffineCalibration Inverse
    {
        get
        {
            double determinant = XX * YY - XY * YX;

            // Added to nothing or taken from it, no zero has a sign.
            (double xx, double xy, double yx, double yy) = (0 + YY / determinant, 0 - XY / determinant, 0 - YX / determinant, 0 + XX / determinant);
            return new AffineCalibration(
                xx, xy, 0 - (xx * OffsetXNanometres + xy * OffsetYNanometres), yx, yy, 0 - (yx * OffsetXNanometres + yy * OffsetYNanometres));
        }
    }

    /// <summary>A perfect field.</summary>
    public static AffineCalibration Identity { get; } = new(1, 0, 0, 0, 1, 0);

    /// <inheritdoc/>
    public override AffineCalibration AtCentre => this;

    /// <inheritdoc/>
    public override bool KeepsLinesStraight => true;

    /// <inheritdoc/>
    public override IEnumerable<double> Numbers => [1, XX, XY, OffsetXNanometres, YX, YY, OffsetYNanometres];

    /// <inheritdoc/>
    public override (double X, double Y) Land(double commandedX, double commandedY)
    {
        double x = commandedX - OffsetXNanometres;
        double y = commandedY - OffsetYNanometres;
        double determinant = XX * YY - XY * YX;
        return ((YY * x - XY * y) / determinant, (XX * y - YX * x) / determinant);
    }

    /// <inheritdoc/>
    public override bool TryCommand(double wantedX, double wantedY, out double commandedX, out double commandedY)
    {
        commandedX = XX * wantedX + XY * wantedY + OffsetXNanometres;
        commandedY = YX * wantedX + YY * wantedY + OffsetYNanometres;
        return true;
    }
}
