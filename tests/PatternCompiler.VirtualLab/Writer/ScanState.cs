using PatternCompiler.VirtualLab.Truth;

namespace PatternCompiler.VirtualLab.Writer;

/// <summary>One axis of a scan with two poles and play, in time.</summary>
/// <param name="truth">How it moves.</param>
/// <param name="start">Time at which it rests at 0.</param>
internal sealed class ScanState(ScanTruth truth, double start)
{
    private double goal;
    private double fast;
    private double slow;
    private double since = start;

    /// <summary>Where it is some time after the last command.</summary>
    public double At(double time) =>
        goal - (fast * Math.Exp(-(time - since) / truth.FastSeconds)) - (slow * Math.Exp(-(time - since) / truth.SlowSeconds));

    /// <summary>A bound of how fast it moves at a time.</summary>
    public double Speed(double time) =>
        (Math.Abs(fast) * Math.Exp(-(time - since) / truth.FastSeconds) / truth.FastSeconds) + (Math.Abs(slow) * Math.Exp(-(time - since) / truth.SlowSeconds) / truth.SlowSeconds);

    /// <summary>Commands a place.</summary>
    public void Go(double place, double time)
    {
        fast *= Math.Exp(-(time - since) / truth.FastSeconds);
        slow *= Math.Exp(-(time - since) / truth.SlowSeconds);
        since = time;

        // The magnet follows where the command leaves the middle of its play.
        double half = truth.PlayNanometres / 2;
        double next = Math.Min(Math.Max(goal, place - half), place + half);
        fast += (1 - truth.SlowPart) * (next - goal);
        slow += truth.SlowPart * (next - goal);
        goal = next;
    }
}
