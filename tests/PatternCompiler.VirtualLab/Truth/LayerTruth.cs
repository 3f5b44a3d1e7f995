namespace PatternCompiler.VirtualLab.Truth;

/// <summary>How a sample lies under the beam when it is put in again: where a place of the layer on it is found.</summary>
/// <param name="RotationRadians">Counter-clockwise.</param>
/// <param name="ScaleX">Along the layer's x axis.</param>
/// <param name="ScaleY">Across it.</param>
/// <param name="Skew">How far the y axis leans towards x, as a part.</param>
/// <param name="OffsetX">In nanometres.</param>
/// <param name="OffsetY">In nanometres.</param>
public sealed record LayerTruth(double RotationRadians, double ScaleX, double ScaleY, double Skew, double OffsetX, double OffsetY)
{
    /// <summary>Where the beam finds a place of the layer.</summary>
    public (double X, double Y) Found(double x, double y)
    {
        (double leantX, double leantY) = ((ScaleX * x) + (Skew * ScaleY * y), ScaleY * y);
        (double sine, double cosine) = Math.SinCos(RotationRadians);
        return ((cosine * leantX) - (sine * leantY) + OffsetX, (sine * leantX) + (cosine * leantY) + OffsetY);
    }

    /// <summary>The place of the layer that lies under the beam.</summary>
    public (double X, double Y) Under(double beamX, double beamY)
    {
        (double x, double y) = (beamX - OffsetX, beamY - OffsetY);
        (double sine, double cosine) = Math.SinCos(RotationRadians);
        (double leantX, double leantY) = ((cosine * x) + (sine * y), (cosine * y) - (sine * x));
        return ((leantX - (Skew * leantY)) / ScaleX, leantY / ScaleY);
    }

    /// <summary>As far off as it may be: turned, scaled and leant by these, either way, and moved by so much in any direction.</summary>
    public static LayerTruth Draw(double degrees, double scale, double skew, double nanometres, Dice dice)
    {
        double angle = dice.Between(0, 2 * Math.PI);
        return new(
            dice.Sign() * degrees * Math.PI / 180, 1 + (dice.Sign() * scale), 1 + (dice.Sign() * scale), dice.Sign() * skew,
            nanometres * Math.Cos(angle), nanometres * Math.Sin(angle));
    }
}
