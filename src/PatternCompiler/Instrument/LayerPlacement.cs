namespace PatternCompiler.Instrument;

/// <summary>
/// Where the beam must land so that a place of the drawing lies on the layer below, both in nanometres from the field's centre:
/// <c>x' = XX·x + XY·y + OffsetXNanometres</c>, <c>y' = YX·x + YY·y + OffsetYNanometres</c>. The sense is that of marks: where one was
/// drawn → where it was found.
/// </summary>
public sealed record LayerPlacement(double XX, double XY, double OffsetXNanometres, double YX, double YY, double OffsetYNanometres)
{
    private const double DegreesPerRadian = 180 / Math.PI;

    /// <summary>Nothing is moved.</summary>
    public static LayerPlacement Identity { get; } = new(1, 0, 0, 0, 1, 0);

    /// <summary>Direction of the drawing's x axis, counter-clockwise.</summary>
    public double RotationDegrees => Math.Atan2(YX, XX) * DegreesPerRadian;

    /// <summary>Length that a unit along the drawing's x axis has.</summary>
    public double ScaleX => Math.Sqrt(XX * XX + YX * YX);

    /// <summary>Length that a unit along the drawing's y axis has across its x axis.</summary>
    public double ScaleY => Determinant / ScaleX;

    /// <summary>How far the drawing's y axis leans towards its x axis, as a part of its length across it.</summary>
    public double Skew => (XX * XY + YX * YY) / Determinant;

    /// <summary>What areas are multiplied by; not above zero for a mirrored layer.</summary>
    public double Determinant => XX * YY - XY * YX;

    internal IEnumerable<double> Numbers => [XX, XY, OffsetXNanometres, YX, YY, OffsetYNanometres];

    /// <summary>Of offset, rotation, scales and skew: first the drawing is scaled and leant, then turned, then moved.</summary>
    public static LayerPlacement Of(double offsetX, double offsetY, double rotationDegrees, double scaleX, double scaleY, double skew)
    {
        (double sin, double cos) = Math.SinCos(rotationDegrees / DegreesPerRadian);
        return new(cos * scaleX, (cos * skew - sin) * scaleY, offsetX, sin * scaleX, (sin * skew + cos) * scaleY, offsetY);
    }

    /// <summary>Where the beam must land.</summary>
    public (double X, double Y) Land(double x, double y) => (XX * x + XY * y + OffsetXNanometres, YX * x + YY * y + OffsetYNanometres);

    /// <summary>The place of the drawing that lies where the beam lands.</summary>
    public (double X, double Y) Drawn(double landX, double landY)
    {
        (double x, double y) = (landX - OffsetXNanometres, landY - OffsetYNanometres);
        return ((YY * x - XY * y) / Determinant, (XX * y - YX * x) / Determinant);
    }

    /// <summary>The same seen from a write field whose centre the stage has brought under the beam as if nothing were moved.</summary>
    public LayerPlacement From(double centreX, double centreY) => From(centreX, centreY, (centreX, centreY));

    /// <summary>The same seen from a write field, where the stage has brought another place under the beam than its centre.</summary>
    /// <param name="centreX">The field's centre on the drawing.</param>
    /// <param name="centreY">The field's centre on the drawing.</param>
    /// <param name="under">What is under the undeflected beam, along the beam's axes.</param>
    internal LayerPlacement From(double centreX, double centreY, (double X, double Y) under)
    {
        (double x, double y) = Land(centreX, centreY);
        return this with { OffsetXNanometres = x - under.X, OffsetYNanometres = y - under.Y };
    }

    /// <summary>What to ask of a field that is so many times as wide as its calibration says.</summary>
    internal LayerPlacement InFieldOf(double scale) =>
        new(XX / scale, XY / scale, OffsetXNanometres / scale, YX / scale, YY / scale, OffsetYNanometres / scale);

    /// <summary>What to command for a place of the drawing, in a field with a calibration of its own.</summary>
    internal FieldCalibration Before(FieldCalibration calibration) =>
        calibration is AffineCalibration affine ? Before(affine) : new PlacedCalibration(calibration, this);

    /// <summary>The same in an undistorted field.</summary>
    internal AffineCalibration Before(AffineCalibration affine)
    {
        (double xx, double xy, double yx, double yy) = (affine.XX, affine.XY, affine.YX, affine.YY);
        return new(
            xx * XX + xy * YX,
            xx * XY + xy * YY,
            xx * OffsetXNanometres + xy * OffsetYNanometres + affine.OffsetXNanometres,
            yx * XX + yy * YX,
            yx * XY + yy * YY,
            yx * OffsetXNanometres + yy * OffsetYNanometres + affine.OffsetYNanometres);
    }
}
