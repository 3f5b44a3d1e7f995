using PatternCompiler.Instrument;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Follows the beam through a blanker that answers late and may leak.</summary>
internal sealed class BeamShutter
{
    private readonly Blanker blanker;
    private readonly List<(double At, bool IsOn)> pending = [];
    private bool isOn;
    private bool isCommandedOn;

    public BeamShutter(Blanker blanker)
    {
        this.blanker = blanker;
        isOn = isCommandedOn = !blanker.IsPresent;
    }

    /// <summary>Part of the beam current that reaches the sample now.</summary>
    public double Transmission => isOn ? 1 : blanker.LeakFraction;

    /// <summary>When the transmission changes next; infinite if it does not.</summary>
    public double NextChange => pending.Count > 0 ? pending[0].At : double.PositiveInfinity;

    /// <summary>Sets the blanking line.</summary>
    public void Command(bool on, double now)
    {
        if (on == isCommandedOn || !blanker.IsPresent)
        {
            return;
        }

        isCommandedOn = on;
        double at = now + (on ? blanker.OnDelaySeconds : blanker.OffDelaySeconds);

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
            isOn = pending[0].IsOn;
            pending.RemoveAt(0);
        }
    }
}
