using PatternCompiler.Instrument;

namespace PatternCompiler.Passes.Scale;

/// <summary>Where codes stand in a part of a field that is tilted or distorted, as an upright lattice.</summary>
/// <param name="Lattice">The lattice that fits best: exact along both axes through the middle of the part.</param>
/// <param name="DeviationCodes">How far codes at the corners of the part are off it, at the most, in codes.</param>
internal sealed record LocalLattice(CodeLattice Lattice, double DeviationCodes)
{
    // Steps of single codes must not pass for the slope of the field.
    private const double FewestCodes = 8;

    /// <summary>The lattice of a part, in femtometres; null where the calibration was not measured.</summary>
    public static LocalLattice? Of(DacMapping mapping, double left, double bottom, double right, double top)
    {
        CodeLattice whole = mapping.ToLattice();
        (double x, double y) = ((left + right) / 2, (bottom + top) / 2);
        double halfWidth = Math.Max((right - left) / 2, FewestCodes / 2 * whole.X.StepFemtometres);
        double halfHeight = Math.Max((top - bottom) / 2, FewestCodes / 2 * whole.Y.StepFemtometres);
        CodeAxis? alongX = Axis(x, halfWidth, Codes(x - halfWidth, y).X, Codes(x + halfWidth, y).X);
        CodeAxis? alongY = Axis(y, halfHeight, Codes(x, y - halfHeight).Y, Codes(x, y + halfHeight).Y);
        if (alongX is not CodeAxis axisX || alongY is not CodeAxis axisY)
        {
            return null;
        }

        double deviation = 0;
        foreach ((double cornerX, double cornerY) in (ReadOnlySpan<(double, double)>)[(left, bottom), (right, bottom), (left, top), (right, top)])
        {
            // Numbers of a lattice count towards larger positions, codes may fall.
            (double codeX, double codeY) = Codes(cornerX, cornerY);
            deviation = Math.Max(deviation, Math.Abs(Math.Abs(codeX - Codes(x, y).X) - Math.Abs(axisX.NumberAt(cornerX) - axisX.NumberAt(x))));
            deviation = Math.Max(deviation, Math.Abs(Math.Abs(codeY - Codes(x, y).Y) - Math.Abs(axisY.NumberAt(cornerY) - axisY.NumberAt(y))));
        }

        return double.IsNaN(deviation) ? null : new LocalLattice(new CodeLattice(axisX, axisY), deviation);

        // Codes of the outputs that drive the sample's x and y axes.
        (double X, double Y) Codes(double atX, double atY)
        {
            (double outputX, double outputY) = mapping.CodesAt((long)Math.Round(atX), (long)Math.Round(atY));
            return mapping.Deflection.SwapAxes ? (outputY, outputX) : (outputX, outputY);
        }
    }

    private static CodeAxis? Axis(double middle, double half, double codeBelow, double codeAbove)
    {
        double step = 2 * half / (codeAbove - codeBelow);
        return double.IsFinite(step) && step != 0 ? new CodeAxis(middle - (codeBelow + codeAbove) / 2 * step, Math.Abs(step)) : null;
    }
}
