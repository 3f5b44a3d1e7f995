using PatternCompiler.VirtualLab.Truth;

namespace PatternCompiler.VirtualLab.Writer;

/// <summary>
/// How much of the beam comes through, in time. An edge of the blank line that would act before the one ahead of it has acted takes
/// that one back: the beam never saw either.
/// </summary>
internal sealed class BlankerState(BlankerTruth truth)
{
    // An exponential edge goes in even stretches of this part of its time constant, and ends after so many of these.
    private const double PartOfConstant = 0.1;
    private const double Settled = 1e-9;

    private readonly List<(double Time, bool IsOn)> coming = [];
    private double level = truth.Leak;
    private bool isRising;

    public bool IsLineOn { get; private set; }

    /// <summary>True if the beam is and stays fully on until the line changes.</summary>
    public bool IsFullyOn => isRising && level >= 1 && coming.Count == 0;

    /// <summary>True if the beam is off until the line changes.</summary>
    public bool IsFullyOff => !isRising && level <= truth.Leak && coming.Count == 0;

    /// <summary>The blank line changes.</summary>
    public void Switch(bool isOn, double time)
    {
        if (isOn == IsLineOn)
        {
            return;
        }

        IsLineOn = isOn;
        double acts = time + (isOn ? truth.OnDelaySeconds : truth.OffDelaySeconds);
        if (coming.Count > 0 && coming[^1].Time >= acts)
        {
            coming.RemoveAt(coming.Count - 1);
        }
        else
        {
            coming.Add((acts, isOn));
        }
    }

    /// <summary>
    /// The stretch from a time on in which the level changes evenly, no longer than to the end that is asked for; the state goes on
    /// to its end.
    /// </summary>
    public (double End, double FirstLevel, double LastLevel) Stretch(double start, double end)
    {
        while (coming.Count > 0 && coming[0].Time <= start)
        {
            isRising = coming[0].IsOn;
            coming.RemoveAt(0);
        }

        double stop = coming.Count > 0 ? Math.Min(end, coming[0].Time) : end;
        double goal = isRising ? 1 : truth.Leak;
        double span = isRising ? truth.RiseSeconds : truth.FallSeconds;
        double first = level;
        if (level == goal)
        {
            return (stop, level, level);
        }

        if (span == 0)
        {
            level = goal;
            return (stop, level, level);
        }

        if (truth.IsExponential)
        {
            stop = Math.Min(stop, start + (PartOfConstant * span));
            level = goal + ((level - goal) * Math.Exp(-(stop - start) / span));
            if (Math.Abs(level - goal) < Settled)
            {
                level = goal;
            }

            return (Math.Max(stop, Math.BitIncrement(start)), first, level);
        }

        double reached = start + (Math.Abs(goal - level) * span);
        if (reached <= stop)
        {
            level = goal;
            return (Math.Max(reached, Math.BitIncrement(start)), first, goal);
        }

        level += Math.Sign(goal - level) * (stop - start) / span;
        return (stop, first, level);
    }
}
