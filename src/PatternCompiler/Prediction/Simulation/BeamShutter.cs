using PatternCompiler.Instrument;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Follows the beam through a blanker that answers late, rises and falls slowly, and may leak.</summary>
internal sealed class BeamShutter
{
    // The beam moves by a little while it rises or falls: so many stretches in a time constant, and after so many constants it is there.
    private const double StretchesPerConstant = 8;
    private const double ConstantsToSettle = 16;

    private readonly Blanker blanker;
    private readonly BlankerEdges edges;
    private readonly List<(double At, bool IsOn)> pending = [];
    private bool isOn;
    private bool isCommandedOn;

    // The open part when it began to rise or fall, and until when it counts as on its way; the next stretch ends sooner.
    private double openThen;
    private double since;
    private double movesUntil = double.NegativeInfinity;
    private double stretchEnd = double.PositiveInfinity;

    public BeamShutter(Blanker blanker)
    {
        this.blanker = blanker;
        edges = BlankerEdges.Of(blanker, 1);
        isOn = isCommandedOn = !blanker.IsPresent;
    }

    /// <summary>The same beam, to be followed elsewhere.</summary>
    public BeamShutter Copy()
    {
        var copy = new BeamShutter(blanker)
        {
            isOn = isOn,
            isCommandedOn = isCommandedOn,
            openThen = openThen,
            since = since,
            movesUntil = movesUntil,
            stretchEnd = stretchEnd,
        };
        copy.pending.AddRange(pending);
        return copy;
    }

    /// <summary>When the open part changes next, by a switch or on its way; infinite if it does not.</summary>
    public double NextChange => Math.Min(stretchEnd, pending.Count > 0 ? pending[0].At : double.PositiveInfinity);

    /// <summary>The beam is rising or falling.</summary>
    public bool IsMoving => !double.IsPositiveInfinity(stretchEnd);

    /// <summary>Part of the beam's current that passes at a time before the next switch, in focus or not.</summary>
    public double PassedAt(double at) => OpenAt(at) + blanker.LeakFraction * (1 - OpenAt(at));

    /// <summary>Part of the beam that is not blanked, on average over a time in which nothing switches; what leaks comes beside.</summary>
    public double OpenBetween(double from, double to)
    {
        double goal = isOn ? 1 : 0;
        if (!(to > from) || !(from < movesUntil))
        {
            return goal;
        }

        double constant = isOn ? edges.Rise : edges.Fall;
        return goal + (openThen - goal) * constant / (to - from) * Math.Exp((since - from) / constant) * -double.ExpM1((from - to) / constant);
    }

    /// <summary>Part of the beam's current that reaches the sample with the beam's own spot, of an open part.</summary>
    public double Focused(double open) => open + blanker.FocusedLeakFraction * (1 - open);

    /// <summary>Part that reaches it out of focus.</summary>
    public double Fog(double open) => blanker.LeaksFog ? blanker.LeakFraction * (1 - open) : 0;

    /// <summary>Sets the blanking line.</summary>
    public void Command(bool on, double now)
    {
        if (on == isCommandedOn || !blanker.IsPresent)
        {
            return;
        }

        isCommandedOn = on;
        double at = now + (on ? edges.OnDead : edges.OffDead);

        // What would have happened later than this change does not happen any more.
        pending.RemoveAll(change => change.At >= at);
        if ((pending.Count > 0 ? pending[^1].IsOn : isOn) != on)
        {
            pending.Add((at, on));
        }
    }

    /// <summary>Lets the changes up to a time happen.</summary>
    public void AdvanceTo(double now)
    {
        while (pending.Count > 0 && pending[0].At <= now)
        {
            (double at, bool on) = pending[0];
            openThen = OpenAt(at);
            (isOn, since) = (on, at);
            movesUntil = at + ConstantsToSettle * (on ? edges.Rise : edges.Fall);
            pending.RemoveAt(0);
        }

        stretchEnd = now < movesUntil ? now + (isOn ? edges.Rise : edges.Fall) / StretchesPerConstant : double.PositiveInfinity;
    }

    private double OpenAt(double at)
    {
        double goal = isOn ? 1 : 0;
        return at < movesUntil ? goal + (openThen - goal) * Math.Exp((since - at) / (isOn ? edges.Rise : edges.Fall)) : goal;
    }
}
