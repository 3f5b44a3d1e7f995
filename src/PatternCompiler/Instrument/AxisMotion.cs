using System.Collections.Immutable;

namespace PatternCompiler.Instrument;

/// <summary>
/// Where the beam is along one axis while the deflection is sent from place to place. A linear response remembers: what is left of
/// earlier moves fades with the time constant of each part, so that the part k of a distance is r exp(−t/τ) and loses a·Δ with every
/// step Δ of the goal. Before it stands the play: the goal follows the command from above, p = max(z, min(z + w, p)), so that a
/// place that is approached from below is met and one approached from above missed by w (play operator; A. Visintin, Differential
/// Models of Hysteresis, Springer 1994, from memory).
/// </summary>
internal sealed class AxisMotion
{
    private const int MostSteps = 200;

    private readonly AxisResponse single;
    private readonly ImmutableArray<SettlePart> parts;
    private readonly double play;
    private readonly double[] left;
    private readonly double[] decays;
    private readonly double[] means;
    private double lag;
    private double cachedSeconds = -1;
    private double goal;

    private AxisMotion(AxisResponse single, ImmutableArray<SettlePart> parts, double play)
    {
        this.single = single;
        this.parts = parts.IsDefault ? [] : parts;
        this.play = play;
        (left, decays, means) = (new double[this.parts.Length], new double[this.parts.Length], new double[this.parts.Length]);
    }

    /// <summary>Motion along the sample's x axis, at rest at 0.</summary>
    public static AxisMotion AlongX(SettleModel settle) => new(Single(settle), settle.ResponseX, settle.HysteresisXNanometres);

    /// <summary>Motion along the sample's y axis, at rest at 0.</summary>
    public static AxisMotion AlongY(SettleModel settle) => new(Single(settle), settle.ResponseY, settle.HysteresisYNanometres);

    /// <summary>The same in other units of length, without play: of an output, in codes.</summary>
    public static AxisMotion Of(SettleModel settle, bool isAlongY, double nanometresPerUnit) => new(
        new AxisResponse(settle.TimeConstantSeconds, settle.SlewNanometresPerSecond / nanometresPerUnit), isAlongY ? settle.ResponseY : settle.ResponseX, 0);

    /// <summary>One exponential or a speed limit; of no meaning for a sum.</summary>
    public AxisResponse Response => single;

    /// <summary>True for a sum of exponentials.</summary>
    public bool IsSum => parts.Length > 0;

    /// <summary>True if the beam is at once where it is sent.</summary>
    public bool IsIdeal => !IsSum && single.IsIdeal;

    /// <summary>Where the beam comes to rest.</summary>
    public double Goal => goal;

    /// <summary>How far the beam is from there, signed.</summary>
    public double Lag => IsSum ? Total(left) : lag;

    /// <summary>Where the beam is.</summary>
    public double Place => goal + Lag;

    /// <summary>Part of a distance that fades with one of the time constants.</summary>
    public ReadOnlySpan<double> Left => left;

    /// <summary>The exponentials; empty for one alone.</summary>
    public ImmutableArray<SettlePart> Parts => parts;

    /// <summary>The beam rests at a place that it has come to from below.</summary>
    public void Rest(double at)
    {
        (goal, lag) = (at, 0);
        Array.Clear(left);
    }

    /// <summary>The beam is on its way to a goal; of a sum, with so much left of each part.</summary>
    public void Follow(double from, double to, ReadOnlySpan<double> leftOfParts)
    {
        (goal, lag) = (to, from - to);
        leftOfParts.CopyTo(left);
    }

    /// <summary>The same motion, to be followed elsewhere.</summary>
    public AxisMotion Copy()
    {
        var copy = new AxisMotion(single, parts, play) { goal = goal, lag = lag };
        left.CopyTo(copy.left, 0);
        return copy;
    }

    /// <summary>Commands a place.</summary>
    public void Send(double command)
    {
        double next = play > 0 ? Math.Max(command, Math.Min(command + play, goal)) : command;
        if (IsSum)
        {
            for (int k = 0; k < left.Length; k++)
            {
                left[k] -= parts[k].Part * (next - goal);
            }
        }
        else
        {
            lag = goal + lag - next;
        }

        goal = next;
    }

    /// <summary>Signed distance from the goal some time after the last command.</summary>
    public double After(double seconds)
    {
        if (!IsSum)
        {
            return single.After(lag, seconds);
        }

        double sum = 0;
        for (int k = 0; k < left.Length; k++)
        {
            sum += left[k] * Math.Exp(-seconds / parts[k].TimeConstantSeconds);
        }

        return sum;
    }

    /// <summary>Mean distance between two times.</summary>
    public double Mean(double from, double to)
    {
        if (!IsSum)
        {
            return single.Mean(lag, from, to);
        }

        if (to <= from)
        {
            return After(from);
        }

        double sum = 0;
        for (int k = 0; k < left.Length; k++)
        {
            double tau = parts[k].TimeConstantSeconds;
            sum += left[k] * tau * Math.Exp(-from / tau) * -ExpMinusOne((from - to) / tau);
        }

        return sum / (to - from);
    }

    /// <summary>Way between two times; where parts of a sum go against each other, no less than it.</summary>
    public double Travel(double from, double to)
    {
        if (!IsSum)
        {
            return Math.Abs(single.After(lag, from) - single.After(lag, to));
        }

        double sum = 0;
        for (int k = 0; k < left.Length; k++)
        {
            double tau = parts[k].TimeConstantSeconds;
            sum += Math.Abs(left[k]) * Math.Exp(-from / tau) * -ExpMinusOne((from - to) / tau);
        }

        return sum;
    }

    /// <summary>Lets time pass.</summary>
    public void Pass(double seconds)
    {
        if (!IsSum)
        {
            lag = single.After(lag, seconds);
            return;
        }

        Cache(seconds);
        for (int k = 0; k < left.Length; k++)
        {
            left[k] *= decays[k];
        }
    }

    /// <summary>The beam is so far from its goal; for one exponential.</summary>
    public void Stay(double distance) => lag = distance;

    /// <summary>For a sum: where the beam is on average in a time that is about to pass, or not a number if it moves further than a length.</summary>
    public double MeanWithin(double seconds, double longest)
    {
        Cache(seconds);
        (double mean, double way) = (0, 0);
        for (int k = 0; k < left.Length; k++)
        {
            mean += left[k] * means[k];
            way += Math.Abs(left[k]) * (1 - decays[k]);
        }

        return way <= longest ? goal + mean : double.NaN;
    }

    /// <summary>
    /// The points of a line, each held for the same time. A response with the part q of a distance left after that time, driven by even
    /// steps s, ends n steps later at qⁿ of the first distance less a·s·q·(1 − qⁿ)/(1 − q). One exponential counts as such even
    /// where a speed limit holds.
    /// </summary>
    /// <param name="from">First point.</param>
    /// <param name="to">Last point.</param>
    /// <param name="points">Their number.</param>
    /// <param name="seconds">Time that all take together.</param>
    public void Ramp(double from, double to, int points, double seconds)
    {
        double dwell = seconds / points;
        int steps = points - 1;
        if (play == 0 || steps == 0)
        {
            Send(from);
            Steps(to - from, steps, dwell);
            goal = to + (goal - from);
            return;
        }

        // While the command goes through the play, the goal rests.
        Send(from);
        double step = (to - from) / steps;
        double free = step > 0 ? goal - from : from + play - goal;
        int idle = step == 0 ? steps : (int)Math.Min(steps, Math.Floor(free / Math.Abs(step)));
        Pass((idle + 1) * dwell);
        if (idle == steps)
        {
            return;
        }

        Send(from + step * (idle + 1));
        double offset = goal - (from + step * (idle + 1));
        Steps(step * (steps - idle - 1), steps - idle - 1, dwell);
        goal = to + offset;
    }

    /// <summary>
    /// For a sum: how far ahead of its places a line at an even speed v must be commanded for the beam to run on them. With
    /// parts r of the distance, the beam moves at −Σ r/τ; that is v from the start if the command begins with a step of (v + Σ r/τ)/Σ(a/τ),
    /// and stays v if the command then changes at −Σ(r/τ²)/Σ(a/τ): here in the mean of each point. One exponential needs the
    /// same lead v·τ all along; of two, the slow one makes it grow.
    /// </summary>
    /// <param name="to">Last place.</param>
    /// <param name="speed">Speed in lengths per second.</param>
    /// <param name="dwell">Time of a point.</param>
    /// <param name="leads">Takes what is to be added to each point's place.</param>
    public void Lead(double to, double speed, double dwell, Span<double> leads)
    {
        Cache(dwell);
        (double rate, double weight, double share) = (speed, 0, 0);
        for (int k = 0; k < left.Length; k++)
        {
            rate += left[k] / parts[k].TimeConstantSeconds;
            weight += parts[k].Part / parts[k].TimeConstantSeconds;
            share += parts[k].Part * (1 - decays[k]);
        }

        for (int k = 0; k < left.Length; k++)
        {
            left[k] -= parts[k].Part * rate / weight;
        }

        for (int i = 0; i < leads.Length; i++)
        {
            leads[i] = -Total(left);
            double change = speed;
            for (int k = 0; k < left.Length; k++)
            {
                change += left[k] * decays[k] / parts[k].TimeConstantSeconds;
            }

            change /= share;
            for (int k = 0; k < left.Length; k++)
            {
                left[k] = left[k] * decays[k] - change * parts[k].Part * parts[k].TimeConstantSeconds * (1 - decays[k]);
            }
        }

        goal = to + speed * dwell - Total(left);
    }

    /// <summary>
    /// For a sum: time until all parts together are no more than a distance, and stay so. Where they go against each other it is a
    /// little long: each counts with its size.
    /// </summary>
    public double SecondsUntil(double distance)
    {
        if (Size(0) <= distance)
        {
            return 0;
        }

        (double low, double high) = (0, parts[0].TimeConstantSeconds);
        while (Size(high) > distance)
        {
            (low, high) = (high, 2 * high);
        }

        // Halved until neighbouring numbers: the same on any machine.
        for (int i = 0; i < MostSteps; i++)
        {
            double middle = low + (high - low) / 2;
            if (middle <= low || middle >= high)
            {
                break;
            }

            (low, high) = Size(middle) > distance ? (middle, high) : (low, middle);
        }

        return high;
    }

    private double Size(double seconds)
    {
        double sum = 0;
        for (int k = 0; k < left.Length; k++)
        {
            sum += Math.Abs(left[k]) * Math.Exp(-seconds / parts[k].TimeConstantSeconds);
        }

        return sum;
    }

    // From the first point of a row of points on, whose dwell is still to come.
    private void Steps(double way, int steps, double dwell)
    {
        if (!IsSum)
        {
            double tau = single.TimeConstantSeconds;
            if (tau == 0)
            {
                lag = 0;
                return;
            }

            double q = Math.Exp(-dwell / tau);
            double power = Math.Pow(q, steps);
            double shares = steps > 0 ? q * (1 - power) / (1 - q) / steps : 0;
            lag = lag * q * power - way * shares;
            return;
        }

        for (int k = 0; k < left.Length; k++)
        {
            double rate = dwell / parts[k].TimeConstantSeconds;
            double q = Math.Exp(-rate);
            double power = Math.Exp(-rate * steps);
            double shares = steps > 0 ? q * ExpMinusOne(-rate * steps) / ExpMinusOne(-rate) / steps : 0;
            left[k] = left[k] * q * power - parts[k].Part * way * shares;
        }
    }

    private void Cache(double seconds)
    {
        if (seconds == cachedSeconds)
        {
            return;
        }

        cachedSeconds = seconds;
        for (int k = 0; k < decays.Length; k++)
        {
            double rate = seconds / parts[k].TimeConstantSeconds;
            decays[k] = Math.Exp(-rate);
            means[k] = rate > 0 ? -ExpMinusOne(-rate) / rate : 1;
        }
    }

    private static double Total(double[] values)
    {
        double sum = 0;
        foreach (double value in values)
        {
            sum += value;
        }

        return sum;
    }

    /// <summary>exp(x) − 1 without loss for small x: W. Kahan's form, as in N. J. Higham, Accuracy and Stability of Numerical Algorithms, 2002, section 1.14.1 (from memory).</summary>
    private static double ExpMinusOne(double x)
    {
        double exp = Math.Exp(x);
        return exp == 1 ? x : exp - 1 == -1 ? -1 : (exp - 1) * x / Math.Log(exp);
    }

    private static AxisResponse Single(SettleModel settle) => new(settle.TimeConstantSeconds, settle.SlewNanometresPerSecond);
}
