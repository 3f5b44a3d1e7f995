namespace PatternCompiler.Instrument;

/// <summary>
/// How one axis of the deflection approaches its goal: at a limited speed while it is far away, then exponentially.
/// Distances are signed, from the goal to the beam.
/// </summary>
/// <param name="timeConstantSeconds">Time constant τ, 0 for at once.</param>
/// <param name="slewNanometresPerSecond">Speed limit, 0 for none.</param>
internal readonly struct AxisResponse(double timeConstantSeconds, double slewNanometresPerSecond)
{
    /// <summary>True if the beam is always where it is commanded.</summary>
    public bool IsIdeal => timeConstantSeconds == 0 && slewNanometresPerSecond == 0;

    /// <summary>The time constant.</summary>
    public double TimeConstantSeconds => timeConstantSeconds;

    /// <summary>True if a distance decays exponentially from the start.</summary>
    public bool IsExponential(double distance) =>
        slewNanometresPerSecond == 0 || Math.Abs(distance) <= slewNanometresPerSecond * timeConstantSeconds;

    /// <summary>Distance left after some time.</summary>
    public double After(double distance, double seconds)
    {
        double slewing = SlewSeconds(distance);
        if (seconds <= slewing)
        {
            return distance - Math.CopySign(slewNanometresPerSecond * seconds, distance);
        }

        return timeConstantSeconds == 0 ? 0 : HandOver(distance, slewing) * Math.Exp(-(seconds - slewing) / timeConstantSeconds);
    }

    /// <summary>Mean distance between two times.</summary>
    public double Mean(double distance, double from, double to)
    {
        if (to <= from)
        {
            return After(distance, from);
        }

        double slewing = SlewSeconds(distance);
        double sum = 0;
        if (from < slewing)
        {
            double end = Math.Min(to, slewing);
            sum += (end - from) * (distance - Math.CopySign(slewNanometresPerSecond * (from + end) / 2, distance));
        }

        if (to > slewing && timeConstantSeconds > 0)
        {
            double begin = Math.Max(from, slewing);
            sum += HandOver(distance, slewing) * timeConstantSeconds
                * (Math.Exp(-(begin - slewing) / timeConstantSeconds) - Math.Exp(-(to - slewing) / timeConstantSeconds));
        }

        return sum / (to - from);
    }

    /// <summary>How long a distance is covered at the speed limit before the exponential takes over.</summary>
    public double SlewSeconds(double distance)
    {
        if (slewNanometresPerSecond == 0)
        {
            return 0;
        }

        return Math.Max(0, (Math.Abs(distance) - slewNanometresPerSecond * timeConstantSeconds) / slewNanometresPerSecond);
    }

    private double HandOver(double distance, double slewing) =>
        slewing == 0 ? distance : distance - Math.CopySign(slewNanometresPerSecond * slewing, distance);
}
