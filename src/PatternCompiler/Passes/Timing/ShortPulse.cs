using PatternCompiler.Instrument;

namespace PatternCompiler.Passes.Timing;

/// <summary>A segment so short that the beam is not wholly on, or not wholly off, when the line changes again.</summary>
internal static class ShortPulse
{
    private const double SmallestCorrectionTicks = 1e-3;

    /// <summary>How long the line has to have the beam on for the delays alone to tell the charge: each tick of it is then one of charge.</summary>
    /// <param name="edges">How the beam goes on and off, in ticks.</param>
    public static double LongFrom(in BlankerEdges edges)
    {
        double difference = Math.Abs(edges.Rise - edges.Fall);
        return edges.OnDead - edges.OffDead + SmallestCorrectionTicks + (difference > SmallestCorrectionTicks ? edges.Rise * Math.Log(difference / SmallestCorrectionTicks) : 0);
    }

    /// <summary>
    /// Ticks by which the last dwell of a segment is too long, or too short where they are negative, and what stays too much then:
    /// less than half a tick, unless the dwell cannot be shortened so far.
    /// </summary>
    /// <param name="edges">How the beam goes on and off, in ticks.</param>
    /// <param name="leak">Part of the beam that comes through when it is off.</param>
    /// <param name="line">How long the line has the beam on, by the delays alone.</param>
    /// <param name="most">Ticks that the dwell can be shortened by.</param>
    /// <param name="due">Ticks that the figure has got too much before, and that the segment gets too much by the delays.</param>
    public static (long Less, double Left) TooLong(in BlankerEdges edges, double leak, long line, long most, double due)
    {
        BlankerEdges by = edges;
        double asked = by.ChargeByDelays(line);
        if (Math.Abs(by.PulseCharge(line) - asked) < SmallestCorrectionTicks && IsSure(0))
        {
            return (0, due);
        }

        // A beam that comes on sharply and goes off as soon comes on or not by the last digit of a time: such a line is left to no chance.
        bool IsSure(long less) => by.PulseCharge(line - less + SmallestCorrectionTicks) - by.PulseCharge(line - less - SmallestCorrectionTicks) < 0.5;
        double Left(long less) => (1 - leak) * (by.PulseCharge(line - less) - asked) - leak * less + due;
        long low = -(long)Math.Ceiling(Math.Abs(by.Rise - by.Fall) + Math.Abs(due) + 1);
        long high = Math.Max(0, most);
        while (high - low > 1)
        {
            // Less and less is left until there is nothing too much.
            long middle = low + (high - low) / 2;
            (low, high) = Left(middle) > 0 ? (middle, high) : (low, middle);
        }

        long best = Nearer(low, high);
        if (!IsSure(best))
        {
            best = best < most ? Nearer(best - 1, best + 1) : best - 1;
        }

        return (best, Left(best));

        long Nearer(long a, long b) => Math.Abs(Left(a)) < Math.Abs(Left(b)) ? a : b;
    }
}
