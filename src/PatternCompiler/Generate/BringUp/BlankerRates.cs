using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Units;

namespace PatternCompiler.Generate.BringUp;

/// <summary>
/// The blank line switched at even rates for a slow meter behind a Faraday cup: short and long times on and off, with the beam held in the
/// cup, and, where it can be sent aside, leaving and entering it as the line turns it off. And the table that is filled in.
/// </summary>
internal static class BlankerRates
{
    private const int Times = 7;
    private const int LongestInShortest = 40;
    private const int PartnerInShortest = 64;

    /// <summary>Between rows the beam is off, so that the meter's record shows where each begins.</summary>
    private const double RestSeconds = 1;

    /// <summary>The rows, as far as the link can follow.</summary>
    /// <param name="bench">The machine.</param>
    /// <param name="hasAside">The beam can be sent out of the cup.</param>
    public static ImmutableArray<BlankerRate> Plan(BringUpBench bench, bool hasAside)
    {
        Machine machine = bench.Machine;
        long shortest = bench.Exposable(Math.Max(1, (long)Math.Ceiling(machine.Blanker.ShortestPulseSeconds * machine.Clock.Hertz)));
        shortest = Math.Max(shortest, machine.Clock.MinimumDwellTicks);
        long partner = bench.Exposable(Math.Max(PartnerInShortest * shortest, 2 * bench.PaceTicks));
        long[] times =
        [
            .. Enumerable.Range(0, Times).Select(i => bench.Exposable((long)Math.Round(shortest * Math.Pow(LongestInShortest, i / (Times - 1.0))))).Distinct(),
        ];
        return
        [
            new BlankerRate(1, 0, BlankerRateWay.Held),
            new BlankerRate(0, 1, BlankerRateWay.Held),
            .. from time in times where time >= bench.PaceTicks select new BlankerRate(time, time, BlankerRateWay.Held),
            .. from time in times select new BlankerRate(time, partner, BlankerRateWay.Held),
            .. from time in times select new BlankerRate(partner, time, BlankerRateWay.Held),
            .. from time in hasAside ? times : [] select new BlankerRate(time, partner, BlankerRateWay.Leaves),
            .. from time in hasAside ? times : [] select new BlankerRate(partner, time, BlankerRateWay.Enters),
        ];
    }

    /// <summary>The records: each row for a time, after a rest with the beam off in the cup.</summary>
    /// <param name="bench">The machine.</param>
    /// <param name="rows">The rows.</param>
    /// <param name="holdSeconds">How long each row lasts, rounded up to whole periods.</param>
    /// <param name="cup">Codes in the cup.</param>
    /// <param name="aside">Codes beside it.</param>
    public static IEnumerable<DeflectionRecord> Records(
        BringUpBench bench, IReadOnlyList<BlankerRate> rows, double holdSeconds, (int X, int Y) cup, (int X, int Y) aside)
    {
        foreach (BlankerRate row in rows)
        {
            foreach (DeflectionRecord rest in BringUpBench.Hold(cup.X, cup.Y, bench.Ticks(RestSeconds)))
            {
                yield return rest;
            }

            long hold = bench.Exposable(bench.Ticks(holdSeconds));
            (int X, int Y) on = row.Way == BlankerRateWay.Enters ? aside : cup, off = row.Way == BlankerRateWay.Leaves ? aside : cup;
            for (long period = 0; period < Periods(row, hold); period++)
            {
                foreach (DeflectionRecord dot in row.OnTicks == 0 ? [] : bench.Expose(on.X, on.Y, row.OffTicks == 0 ? hold : row.OnTicks))
                {
                    yield return dot;
                }

                foreach (DeflectionRecord jump in row.OffTicks == 0 ? [] : BringUpBench.Hold(off.X, off.Y, row.OnTicks == 0 ? hold : row.OffTicks))
                {
                    yield return jump;
                }
            }
        }

        foreach (DeflectionRecord rest in BringUpBench.Hold(cup.X, cup.Y, bench.Ticks(RestSeconds)))
        {
            yield return rest;
        }
    }

    /// <summary>The table, with when each row begins, and room for the current.</summary>
    public static string Table(BringUpBench bench, IReadOnlyList<BlankerRate> rows, double holdSeconds)
    {
        var text = new StringBuilder("# mean currents in a Faraday cup, for 'patternc fit blanker'; a row begins at 'from' after the stream's start and lasts until 'to'; the beam is off between rows\n");
        text.Append("on [us], off [us], deflection, current [pA], from [s], to [s]\n");
        long tick = 0;
        long hold = bench.Exposable(bench.Ticks(holdSeconds));
        foreach (BlankerRate row in rows)
        {
            tick += bench.Ticks(RestSeconds);
            long end = tick + Periods(row, hold) * (row.IsSteady ? hold : row.OnTicks + row.OffTicks);
            text.Append(CultureInfo.InvariantCulture, $"{Microseconds(row.OnTicks)}, {Microseconds(row.OffTicks)}, {row.Way.ToString().ToLowerInvariant()}, , {Rounded(bench.Seconds(tick))}, {Rounded(bench.Seconds(end))}\n");
            tick = end;
        }

        return text.ToString();

        // Of a line that does not switch only which of the two is not zero counts.
        string Microseconds(long ticks) => NumberText.Format(Math.Round(1e6 * ticks / bench.Machine.Clock.Hertz, 9, MidpointRounding.AwayFromZero));
        static string Rounded(double seconds) => NumberText.Format(Math.Round(seconds, 9, MidpointRounding.AwayFromZero));
    }

    private static long Periods(BlankerRate row, long holdTicks) =>
        row.IsSteady ? 1 : (holdTicks + row.OnTicks + row.OffTicks - 1) / (row.OnTicks + row.OffTicks);
}

/// <summary>A rate of the blank line.</summary>
/// <param name="OnTicks">How long it has the beam on; 0 for never.</param>
/// <param name="OffTicks">How long it has it off; 0 for never.</param>
/// <param name="Way">What the deflection does.</param>
internal readonly record struct BlankerRate(long OnTicks, long OffTicks, BlankerRateWay Way)
{
    /// <summary>The line does not switch.</summary>
    public bool IsSteady => OnTicks == 0 || OffTicks == 0;
}

/// <summary>What the deflection does while the line is switched; the table's words.</summary>
internal enum BlankerRateWay
{
    /// <summary>It has the beam in the cup.</summary>
    Held,

    /// <summary>It takes the beam out of the cup as the line turns it off.</summary>
    Leaves,

    /// <summary>It brings the beam into the cup then.</summary>
    Enters,
}
