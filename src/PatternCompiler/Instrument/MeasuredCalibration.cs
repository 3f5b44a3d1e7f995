namespace PatternCompiler.Instrument;

/// <summary>
/// A calibration known as commanded → landing position. The other direction is solved by Newton's method, to
/// <see cref="ToleranceNanometres"/>: far below any converter's step.
/// </summary>
internal abstract record MeasuredCalibration : FieldCalibration
{
    /// <summary>A solution lands this close to the wanted place.</summary>
    public const double ToleranceNanometres = 1e-6;

    private const int LargestIterations = 40;

    /// <summary>Step of the difference quotients, in nanometres: small against any distortion's scale, large against rounding.</summary>
    private const double Step = 8;

    /// <inheritdoc/>
    public sealed override bool KeepsLinesStraight => false;

    /// <inheritdoc/>
    public sealed override AffineCalibration AtCentre
    {
        get
        {
            (double x, double y) = Land(0, 0);
            (double xx, double xy, double yx, double yy) = Gradient(0, 0);
            return AffineCalibration.FromLanding(xx, xy, x, yx, yy, y);
        }
    }

    /// <summary>True if a commanded position lies where the calibration was measured.</summary>
    public abstract bool Covers(double commandedX, double commandedY);

    /// <inheritdoc/>
    public sealed override bool TryCommand(double wantedX, double wantedY, out double commandedX, out double commandedY)
    {
        commandedX = wantedX;
        commandedY = wantedY;
        for (int i = 0; i < LargestIterations; i++)
        {
            (double x, double y) = Land(commandedX, commandedY);
            double missX = wantedX - x;
            double missY = wantedY - y;
            if (Math.Abs(missX) <= ToleranceNanometres && Math.Abs(missY) <= ToleranceNanometres)
            {
                return Covers(commandedX, commandedY);
            }

            (double xx, double xy, double yx, double yy) = Gradient(commandedX, commandedY);
            double determinant = xx * yy - xy * yx;
            commandedX += (yy * missX - xy * missY) / determinant;
            commandedY += (xx * missY - yx * missX) / determinant;
            if (!double.IsFinite(commandedX) || !double.IsFinite(commandedY))
            {
                return false;
            }
        }

        return false;
    }

    private (double XX, double XY, double YX, double YY) Gradient(double x, double y)
    {
        (double rightX, double rightY) = Land(x + Step, y);
        (double leftX, double leftY) = Land(x - Step, y);
        (double upX, double upY) = Land(x, y + Step);
        (double downX, double downY) = Land(x, y - Step);
        return ((rightX - leftX) / (2 * Step), (upX - downX) / (2 * Step), (rightY - leftY) / (2 * Step), (upY - downY) / (2 * Step));
    }
}
