namespace PatternCompiler.Measure.Registration;

/// <summary>
/// From places in a micrograph to places in the drawing: sample = centre + matrix · (u, v), with u to the right and v upward, in
/// pixels from the middle of the picture.
/// </summary>
/// <param name="CentreX">The drawing's x in the middle of the picture, in nanometres.</param>
/// <param name="CentreY">Its y.</param>
/// <param name="XByU">Nanometres along x for each pixel to the right.</param>
/// <param name="XByV">Nanometres along x for each pixel upward.</param>
/// <param name="YByU">Nanometres along y for each pixel to the right.</param>
/// <param name="YByV">Nanometres along y for each pixel upward.</param>
internal readonly record struct PictureMap(double CentreX, double CentreY, double XByU, double XByV, double YByU, double YByV)
{
    private const double DegreesPerRadian = 180 / Math.PI;

    /// <summary>Size of a pixel: the root of the area that it covers.</summary>
    public double NanometresPerPixel => Math.Sqrt(Math.Abs(XByU * YByV - XByV * YByU));

    /// <summary>How far the picture is turned counter-clockwise against the drawing, in degrees.</summary>
    public double RotationDegrees => -Math.Atan2(YByU - XByV, XByU + YByV) * DegreesPerRadian;

    /// <summary>A map with one scale and no shear.</summary>
    public static PictureMap Similar(double centreX, double centreY, double nanometresPerPixel, double turnRadians)
    {
        (double sine, double cosine) = Math.SinCos(turnRadians);
        return new PictureMap(
            centreX, centreY, nanometresPerPixel * cosine, -nanometresPerPixel * sine, nanometresPerPixel * sine, nanometresPerPixel * cosine);
    }

    /// <summary>The same middle and rotation with another pixel.</summary>
    public PictureMap Rescaled(double nanometresPerPixel) => Similar(CentreX, CentreY, nanometresPerPixel, Math.Atan2(YByU - XByV, XByU + YByV));

    /// <summary>Place in the drawing.</summary>
    public (double X, double Y) ToSample(double u, double v) => (CentreX + XByU * u + XByV * v, CentreY + YByU * u + YByV * v);

    /// <summary>Place in the picture.</summary>
    public (double U, double V) ToPicture(double x, double y)
    {
        (double dx, double dy) = (x - CentreX, y - CentreY);
        double determinant = XByU * YByV - XByV * YByU;
        return ((YByV * dx - XByV * dy) / determinant, (XByU * dy - YByU * dx) / determinant);
    }

    /// <summary>The map whose places are moved: sample' = sample + shift + matrix · (sample − centre).</summary>
    public PictureMap Moved(double shiftX, double shiftY, double xByX, double xByY, double yByX, double yByY) => new(
        CentreX + shiftX,
        CentreY + shiftY,
        XByU + xByX * XByU + xByY * YByU,
        XByV + xByX * XByV + xByY * YByV,
        YByU + yByX * XByU + yByY * YByU,
        YByV + yByX * XByV + yByY * YByV);

    /// <summary>The map that lies between two.</summary>
    public static PictureMap Between(PictureMap a, PictureMap b, double part)
    {
        double Mixed(double from, double to) => from + part * (to - from);
        return new PictureMap(
            Mixed(a.CentreX, b.CentreX), Mixed(a.CentreY, b.CentreY), Mixed(a.XByU, b.XByU), Mixed(a.XByV, b.XByV), Mixed(a.YByU, b.YByU), Mixed(a.YByV, b.YByV));
    }

    /// <summary>Largest distance between where two maps put a corner of the picture, in nanometres.</summary>
    public double DistanceTo(PictureMap other, double halfWidth, double halfHeight)
    {
        double largest = 0;
        foreach ((double u, double v) in ((double, double)[])[(halfWidth, halfHeight), (-halfWidth, halfHeight), (halfWidth, -halfHeight), (-halfWidth, -halfHeight)])
        {
            (double x, double y) = ToSample(u, v);
            (double otherX, double otherY) = other.ToSample(u, v);
            largest = Math.Max(largest, Math.Sqrt((x - otherX) * (x - otherX) + (y - otherY) * (y - otherY)));
        }

        return largest;
    }
}
