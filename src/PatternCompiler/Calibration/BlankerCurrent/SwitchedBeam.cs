namespace PatternCompiler.Calibration.BlankerCurrent;

/// <summary>
/// The steady response of a beam that is switched at an even rate: after a dead time behind each edge of the line it approaches on and
/// off exponentially. With u of a period P driven on and w = P − u driven off it swings between L0 = L1·exp(−w/τ2) and
/// L1 = 1 − (1 − L0)·exp(−u/τ1); the mean is (u + (τ2 − τ1)·(L1 − L0)) / P. So of slow switching the mean tells the difference of the
/// delays, u − on, and no more; where rise and fall are alike it tells no more at any rate, for then the response is linear.
/// </summary>
internal readonly struct SwitchedBeam
{
    private readonly double on;
    private readonly double period;
    private readonly double riseAt;
    private readonly double driven;
    private readonly double rise;
    private readonly double fall;
    private readonly double low;
    private readonly double high;

    /// <param name="on">How long the line has the beam on; any unit of time.</param>
    /// <param name="off">How long it has it off.</param>
    /// <param name="onDelay">From the line's edge until a beam that switches at once would be on; its time constant is a part of it.</param>
    /// <param name="offDelay">Until it would be off.</param>
    /// <param name="rise">Time constant of the rise; 0 for at once.</param>
    /// <param name="fall">Time constant of the fall.</param>
    public SwitchedBeam(double on, double off, double onDelay, double offDelay, double rise, double fall)
    {
        (this.on, this.rise, this.fall) = (on, rise, fall);
        period = on + off;
        riseAt = onDelay - rise;

        // Where edges act out of order the beam never comes, or never goes.
        driven = Math.Clamp(on + offDelay - fall - riseAt, 0, period);
        double risen = Left(driven, rise), fallen = Left(period - driven, fall);
        high = driven == 0 ? 0 : driven == period ? 1 : (1 - risen) / (1 - risen * fallen);
        low = driven == period ? 1 : high * fallen;

        // Any of the rises will do: counted from one far away, a period may be lost in rounding.
        riseAt -= Math.Floor(riseAt / period) * period;
    }

    /// <summary>Mean part of the beam over all of the period.</summary>
    public double Mean => Between(0, period) / period;

    /// <summary>Charge while the line has the beam on, over the period, in parts of the whole beam.</summary>
    public double MeanWhileOn => Between(0, on) / period;

    /// <summary>Charge while the line has it off, likewise.</summary>
    public double MeanWhileOff => Between(on, period) / period;

    private double Between(double from, double to)
    {
        // The pieces of a period begin with the rise, wherever that lies.
        double charge = 0;
        for (double start = riseAt + Math.Floor((from - riseAt) / period) * period; start < to; start += period)
        {
            charge += Rising(from - start, to - start, driven) + Falling(from - start - driven, to - start - driven, period - driven);
        }

        return charge;
    }

    // From times since the rise began, within its length: 1 − (1 − low)·exp(−t/τ).
    private double Rising(double from, double to, double length)
    {
        (double a, double b) = (Math.Clamp(from, 0, length), Math.Clamp(to, 0, length));
        return b - a - (rise > 0 ? (1 - low) * rise * (Math.Exp(-a / rise) - Math.Exp(-b / rise)) : 0);
    }

    private double Falling(double from, double to, double length)
    {
        (double a, double b) = (Math.Clamp(from, 0, length), Math.Clamp(to, 0, length));
        return fall > 0 ? high * fall * (Math.Exp(-a / fall) - Math.Exp(-b / fall)) : 0;
    }

    private static double Left(double time, double constant) => constant > 0 ? Math.Exp(-time / constant) : 0;
}
