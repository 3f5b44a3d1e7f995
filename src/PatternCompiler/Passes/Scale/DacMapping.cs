using PatternCompiler.Instrument;

namespace PatternCompiler.Passes.Scale;

/// <summary>
/// From a place on the sample to DAC codes. The centre of the field is the middle of the voltage range; the field's
/// width is what the whole voltage span covers. Codes here are natural (0 = lowest voltage) and real-valued: the nearest
/// whole code is <c>floor(code + 0.5)</c>, and whether it exists is a separate question.
/// </summary>
internal sealed class DacMapping
{
    private const double NanometresPerFemtometre = 1e-6;

    private readonly FieldCalibration calibration;
    private readonly AffineCalibration affine;
    private readonly double codesPerNanometreX;
    private readonly double codesPerNanometreY;
    private readonly double nanometresPerCodeX;
    private readonly double nanometresPerCodeY;
    private readonly double middle;
    private readonly double xFromY;
    private readonly double yFromX;
    private readonly double own;

    /// <summary>The mapping of one machine.</summary>
    public DacMapping(Dac dac, Deflection deflection)
    {
        Dac = dac;
        Deflection = deflection;
        calibration = deflection.Command;
        affine = calibration.AtCentre;
        double span = dac.FullScale == DacFullScale.OneBeyondLastCode ? dac.CodeCount : dac.CodeCount - 1;
        middle = span / 2;
        double spanX = deflection.InvertX ? -span : span;
        double spanY = deflection.InvertY ? -span : span;
        codesPerNanometreX = spanX / deflection.FieldWidthNanometres;
        codesPerNanometreY = spanY / deflection.FieldHeightNanometres;
        nanometresPerCodeX = deflection.FieldWidthNanometres / spanX;
        nanometresPerCodeY = deflection.FieldHeightNanometres / spanY;
        (xFromY, yFromX) = deflection.Crosstalk is { } felt ? (felt.XFromY, felt.YFromX) : (0, 0);
        own = 1 / (1 - xFromY * yFromX);
        UsableX = deflection.UsableX ?? new(0, dac.CodeCount - 1);
        UsableY = deflection.UsableY ?? new(0, dac.CodeCount - 1);
    }

    /// <summary>The converters.</summary>
    public Dac Dac { get; }

    /// <summary>The field.</summary>
    public Deflection Deflection { get; }

    /// <summary>Codes of the X output that may be sent.</summary>
    public CodeRange UsableX { get; }

    /// <summary>Codes of the Y output that may be sent.</summary>
    public CodeRange UsableY { get; }

    /// <summary>Signed distance on the sample of one code of the X output, along the sample axis that it drives.</summary>
    public double NanometresPerCodeX => Deflection.SwapAxes ? nanometresPerCodeY : nanometresPerCodeX;

    /// <summary>Signed distance on the sample of one code of the Y output, along the sample axis that it drives.</summary>
    public double NanometresPerCodeY => Deflection.SwapAxes ? nanometresPerCodeX : nanometresPerCodeY;

    /// <summary>True if a straight line on the sample is a straight row of codes.</summary>
    public bool KeepsLinesStraight =>
        calibration.KeepsLinesStraight && Deflection.LinearityX is null && Deflection.LinearityY is null;

    /// <summary>
    /// Real-valued natural codes of the X and the Y output for a place on the sample; not a number where the calibration
    /// was not measured.
    /// </summary>
    public (double X, double Y) CodesAt(long xFemtometres, long yFemtometres)
    {
        if (!calibration.TryCommand(
                xFemtometres * NanometresPerFemtometre, yFemtometres * NanometresPerFemtometre, out double commandedX, out double commandedY))
        {
            return (double.NaN, double.NaN);
        }

        double alongX = middle + codesPerNanometreX * commandedX;
        double alongY = middle + codesPerNanometreY * commandedY;
        (double x, double y) = Deflection.SwapAxes ? (alongY, alongX) : (alongX, alongY);
        if (Deflection.Crosstalk is not null)
        {
            (double awayX, double awayY) = (x - middle, y - middle);
            (x, y) = (middle + own * (awayX - xFromY * awayY), middle + own * (awayY - yFromX * awayX));
        }

        return (Deflection.LinearityX?.CodeFor(x) ?? x, Deflection.LinearityY?.CodeFor(y) ?? y);
    }

    /// <summary>The place on the sample, in nanometres, that a pair of (real-valued) codes sends the beam to: the inverse of <see cref="CodesAt"/>.</summary>
    public (double XNanometres, double YNanometres) PlaceOf(double codeX, double codeY)
    {
        (double outputX, double outputY) = OutputsOf(codeX, codeY);
        (double alongX, double alongY) = Deflection.SwapAxes ? (outputY, outputX) : (outputX, outputY);
        return calibration.Land((alongX - middle) / codesPerNanometreX, (alongY - middle) / codesPerNanometreY);
    }

    /// <summary>Nearest whole code, halves upward. It may lie outside the range of the converter.</summary>
    public static long Nearest(double code) => (long)Math.Floor(code + 0.5);

    /// <summary>True if real-valued codes lie between the outermost that may be sent; false for what is not a number.</summary>
    public bool Reaches(double codeX, double codeY) =>
        codeX >= UsableX.Lowest && codeX <= UsableX.Highest && codeY >= UsableY.Lowest && codeY <= UsableY.Highest;

    /// <summary>Voltage of a real-valued code.</summary>
    public double VoltsOf(double code) => Dac.MinimumVolts + code * Dac.LsbVolts;

    /// <summary>Voltages of both outputs at a pair of (real-valued) codes, nonlinearity and crosstalk among them.</summary>
    public (double X, double Y) VoltsAt(double codeX, double codeY)
    {
        (double outputX, double outputY) = OutputsOf(codeX, codeY);
        return (VoltsOf(outputX), VoltsOf(outputY));
    }

    /// <summary>Real-valued code of a voltage.</summary>
    public double CodeOfVolts(double volts) => (volts - Dac.MinimumVolts) / Dac.LsbVolts;

    /// <summary>True if codes stand in the same upright lattice all over the field: it is neither tilted nor distorted.</summary>
    public bool HasOneLattice => KeepsLinesStraight && affine.XY == 0 && affine.YX == 0 && Deflection.Crosstalk is null;

    /// <summary>The places that the beam can be sent to, exact along the axes through the field's centre.</summary>
    public CodeLattice ToLattice()
    {
        return new(
            Axis(own * codesPerNanometreX * affine.XX, own * codesPerNanometreX * affine.OffsetXNanometres),
            Axis(own * codesPerNanometreY * affine.YY, own * codesPerNanometreY * affine.OffsetYNanometres));

        CodeAxis Axis(double codesPerNanometre, double offsetCodes)
        {
            double step = 1e6 / codesPerNanometre;
            return new((-middle - offsetCodes) * step, Math.Abs(step));
        }
    }

    /// <summary>Both outputs in steps of the ideal line.</summary>
    private (double X, double Y) OutputsOf(double codeX, double codeY)
    {
        double x = Deflection.LinearityX?.OutputOf(codeX) ?? codeX;
        double y = Deflection.LinearityY?.OutputOf(codeY) ?? codeY;
        return Deflection.Crosstalk is null ? (x, y) : (x + xFromY * (y - middle), y + yFromX * (x - middle));
    }
}
