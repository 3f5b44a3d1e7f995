namespace PatternCompiler.VirtualLab.Truth;

/// <summary>From the converters' voltages to the place on the sample.</summary>
/// <param name="NanometresPerVoltX">Signed.</param>
/// <param name="NanometresPerVoltY">Signed.</param>
/// <param name="RotationRadians">Of the field on the sample, counter-clockwise.</param>
/// <param name="SkewRadians">By which the y axis leans towards x.</param>
/// <param name="CrosstalkXFromY">Part of y's voltage that x feels.</param>
/// <param name="CrosstalkYFromX">Part of x's voltage that y feels.</param>
/// <param name="CubicPerSquareNanometre">Radial distortion: a place at r moves by this times r³.</param>
/// <param name="TimeConstantSeconds">With which the deflection follows; 0 at once.</param>
public sealed record FieldTruth(
    double NanometresPerVoltX,
    double NanometresPerVoltY,
    double RotationRadians,
    double SkewRadians,
    double CrosstalkXFromY,
    double CrosstalkYFromX,
    double CubicPerSquareNanometre,
    double TimeConstantSeconds)
{
    /// <summary>Fastest move of each axis; 0 for no limit. Only a deflection with a time constant has one.</summary>
    public double SlewNanometresPerSecond { get; init; }

    /// <summary>How far an axis still is from where it goes, so long after it was away by a distance: as fast as it can, and then with its time constant.</summary>
    internal double Away(double distance, double seconds)
    {
        if (TimeConstantSeconds == 0)
        {
            return 0;
        }

        double slewing = Math.Min(seconds, SlewingSeconds(distance));
        double handedOver = distance - (Math.Sign(distance) * SlewNanometresPerSecond * slewing);
        return handedOver * Math.Exp(-(seconds - slewing) / TimeConstantSeconds);
    }

    /// <summary>How long an axis moves as fast as it can: until its time constant alone would make it slower.</summary>
    internal double SlewingSeconds(double distance) =>
        SlewNanometresPerSecond > 0 ? Math.Max(0, (Math.Abs(distance) / SlewNanometresPerSecond) - TimeConstantSeconds) : 0;

    public (double X, double Y) PlaceOf(double voltsX, double voltsY)
    {
        double x = (voltsX + (CrosstalkXFromY * voltsY)) * NanometresPerVoltX;
        double y = (voltsY + (CrosstalkYFromX * voltsX)) * NanometresPerVoltY;
        x += SkewRadians * y;
        (double sine, double cosine) = Math.SinCos(RotationRadians);
        (x, y) = ((cosine * x) - (sine * y), (sine * x) + (cosine * y));
        double bend = 1 + (CubicPerSquareNanometre * ((x * x) + (y * y)));
        return (x * bend, y * bend);
    }

    internal static FieldTruth Draw(LabSetup setup, Dice dice)
    {
        double linear = setup.Faults.HasFlag(LabFaults.Field) ? 1 : 0;
        double cross = setup.Faults.HasFlag(LabFaults.Crosstalk) ? 1 : 0;
        double half = setup.FieldNanometres / 2;
        double scale = setup.FieldNanometres / setup.RangeVolts;
        return new FieldTruth(
            (setup.InvertX ? -1 : 1) * scale * (1 + (linear * dice.Normal(0, 0.004))),
            (setup.InvertY ? -1 : 1) * scale * (1 + (linear * dice.Normal(0, 0.004))),
            linear * dice.Normal(0, 0.008),
            linear * dice.Normal(0, 0.002),
            cross * dice.Normal(0, 5e-4),
            cross * dice.Normal(0, 5e-4),
            (setup.Faults.HasFlag(LabFaults.Distortion) ? 1 : 0) * dice.Between(-0.006, 0.006) / (half * half),
            (setup.Faults.HasFlag(LabFaults.Settling) ? 1 : 0) * dice.Ratio(1e-6, 8e-6));
    }
}
