namespace PatternCompiler.Calibration.Settling;

/// <summary>How the deflection settles after a jump, from bars written after several waits.</summary>
/// <param name="TimeConstant">Time constant of the slowest part, in microseconds.</param>
/// <param name="DeadTime">Time before the beam begins to settle, in microseconds; about 0 where one exponential describes it all.</param>
internal sealed record SettlingFit(FitParameter TimeConstant, FitParameter DeadTime)
{
    /// <summary>Root mean square of measured minus fitted displacements, in nanometres.</summary>
    public double RootMeanSquareNanometres { get; init; }

    /// <summary>Measurements beyond the two that the model needs.</summary>
    public int DegreesOfFreedom { get; init; }

    /// <summary>Logarithm of the displacement over the jump at no wait, and how fast it falls in 1/µs.</summary>
    internal (double Level, double Rate) Line { get; init; }

    /// <summary>Variances of the time constant's logarithm and of the dead time, and their covariance.</summary>
    internal (double Constant, double Dead, double Both) LogCovariance { get; init; }

    /// <summary>Displacement that is left, over the jump, after a wait in microseconds.</summary>
    public double Left(double wait) => Math.Exp(Line.Level - (Line.Rate * wait));

    /// <summary>Wait in microseconds after which no more than a displacement is left of a jump (both in nanometres).</summary>
    public double WaitFor(double jump, double left) => jump <= left ? 0 : Math.Max(0, (Line.Level + Math.Log(jump / left)) / Line.Rate);

    /// <summary>Half width of the 95% confidence band of the logarithm of <see cref="Left"/>.</summary>
    internal double LogBandHalfWidth(double wait)
    {
        double byConstant = (Line.Rate * wait) - Line.Level;
        return ConfidenceInterval.HalfWidths(DegreesOfFreedom) * Math.Sqrt(
            (byConstant * byConstant * LogCovariance.Constant) + (2 * byConstant * Line.Rate * LogCovariance.Both) + (Line.Rate * Line.Rate * LogCovariance.Dead));
    }
}
