namespace PatternCompiler.Instrument;

/// <summary>
/// How the beam goes on and off in time: after a dead time the current approaches its new value exponentially. In units of the
/// whole beam, 1 is all of it and 0 what is left when it is off; what leaks goes beside.
/// </summary>
/// <remarks>
/// Turning on takes the charge of a dead time d and a time constant τ away, so that the delay of the machine file is d + τ; turning off
/// adds as much. A pulse of the line that lasts so long that the beam is wholly on has the charge of its length, less one delay and
/// more the other. A shorter one of length u behind both dead times reaches 1 − exp(−u/τ1) and has the charge
/// u − (τ1 − τ2)·(1 − exp(−u/τ1)): where rise and fall are alike it is u, however short.
/// </remarks>
/// <param name="OnDead">From the line's edge until the beam rises, in any unit of time.</param>
/// <param name="Rise">Time constant of the rise, in the same unit.</param>
/// <param name="OffDead">From the line's edge until it falls.</param>
/// <param name="Fall">Time constant of the fall.</param>
internal readonly record struct BlankerEdges(double OnDead, double Rise, double OffDead, double Fall)
{
    /// <summary>From 10 to 90 % of an exponential edge, in time constants: ln 9.</summary>
    public const double TimePerConstant = 2.1972245773362196;

    /// <summary>Less than this part of the beam counts as off.</summary>
    public const double OffPart = 1e-3;

    /// <summary>The edges of a blanker.</summary>
    /// <param name="blanker">The blanker; one that is not there has none.</param>
    /// <param name="unitsPerSecond">Units of time: clock ticks, or 1 for seconds.</param>
    public static BlankerEdges Of(Blanker blanker, double unitsPerSecond)
    {
        if (!blanker.IsPresent)
        {
            return default;
        }

        double rise = blanker.RiseSeconds / TimePerConstant, fall = blanker.FallSeconds / TimePerConstant;
        return new BlankerEdges(
            Math.Max(0, blanker.OnDelaySeconds - rise) * unitsPerSecond, rise * unitsPerSecond,
            Math.Max(0, blanker.OffDelaySeconds - fall) * unitsPerSecond, fall * unitsPerSecond);
    }

    /// <summary>The beam rises or falls slowly.</summary>
    public bool AreSlow => Rise > 0 || Fall > 0;

    /// <summary>From the delay, when the charge is through on balance, until the beam is off but for <see cref="OffPart"/>.</summary>
    public double OffAfterDelay => Fall * (-Math.Log(OffPart) - 1);

    /// <summary>Charge of a pulse of the line that begins and ends with the beam off, in units of time.</summary>
    /// <param name="line">How long the line has the beam on.</param>
    public double PulseCharge(double line)
    {
        double on = line + OffDead - OnDead;
        return on > 0 ? on - (Rise - Fall) * Reached(on) : 0;
    }

    /// <summary>The charge of such a pulse by the delays alone, as it is of a long one.</summary>
    public double ChargeByDelays(double line) => Math.Max(0, line + OffDead + Fall - OnDead - Rise);

    /// <summary>Charge that comes through while the beam goes off, of a stretch of time.</summary>
    /// <param name="whole">How long the whole beam still comes through at its beginning; negative for how long it has been falling.</param>
    /// <param name="length">Its length.</param>
    public double ChargeWhileFalling(double whole, double length)
    {
        double full = Math.Clamp(whole, 0, length);
        return Fall > 0
            ? full + Fall * Math.Exp(Math.Min(0, whole) / Fall) * -double.ExpM1((full - length) / Fall)
            : full;
    }

    private double Reached(double on) => Rise > 0 ? -double.ExpM1(-on / Rise) : 1;
}
