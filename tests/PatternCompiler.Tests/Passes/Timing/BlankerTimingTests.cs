using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Timing;

namespace PatternCompiler.Tests.Passes.Timing;

public sealed class BlankerTimingTests
{
    private static readonly RecordsHeader Header = new(
        "bench", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e6, 2, 1_000_000, 1, 1, false);

    [Fact]
    public void A_dot_is_led_in_and_ends_early()
    {
        Assert.Equal(
            [DeflectionRecord.Jump(5, 5, 10), DeflectionRecord.Dot(5, 5, 20 + 4 - 3), DeflectionRecord.Wait(3), DeflectionRecord.Jump(9, 9, 10)],
            Correct(Delays(4, 3), DeflectionRecord.Jump(5, 5, 10), DeflectionRecord.Dot(5, 5, 20), DeflectionRecord.Jump(9, 9, 10)));
    }

    [Fact]
    public void A_line_keeps_its_points_and_the_last_one_is_cut_short()
    {
        Assert.Equal(
            [
                DeflectionRecord.Jump(0, 0, 10),
                DeflectionRecord.Dot(0, 0, 4),
                DeflectionRecord.Line(0, 0, 3, 0, 4, 40),
                DeflectionRecord.Dot(4, 0, 7),
                DeflectionRecord.Wait(3),
            ],
            Correct(Delays(4, 3), DeflectionRecord.Jump(0, 0, 10), DeflectionRecord.Line(0, 0, 4, 0, 5, 50)));
    }

    /// <summary>
    /// A lead-in of 10 ticks is too short for a controller that counts from 50 to 100: the first point gets it, in as many dwells as
    /// that takes, and the others get what they ask for.
    /// </summary>
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void A_short_lead_in_is_given_to_the_first_point(int points)
    {
        DeflectionRecord line = points == 1 ? DeflectionRecord.Dot(0, 0, 100) : DeflectionRecord.Line(0, 0, 9 * (points - 1), 0, points, 100 * points);
        DeflectionRecord[] exposing =
        [
            .. CorrectWith(Header with { MinimumDwellTicks = 50, MaximumDwellTicks = 100 }, Delays(10, 0), DeflectionRecord.Jump(0, 0, 10), line).Where(record => record.Points > 0),
        ];
        Assert.Equal(110, exposing.Where(record => record.EndX == 0).Sum(record => record.Ticks));
        Assert.Equal(100 * (points - 1), exposing.Where(record => record.EndX > 0).Sum(record => record.Ticks));
        Assert.All(exposing, record => Assert.InRange(record.Ticks / record.Points, 50, 100));
    }

    /// <summary>A dwell as long as the controller counts is one, and one tick more is two; either axis, lead-in and tail alike.</summary>
    [Theory]
    [InlineData(99, 1)]
    [InlineData(100, 1)]
    [InlineData(101, 2)]
    [InlineData(200, 2)]
    [InlineData(201, 3)]
    public void The_longest_dwell_is_one(int ticks, int dwells)
    {
        DeflectionRecord[] dot = [.. CorrectWith(Header with { MaximumDwellTicks = 100 }, Delays(0, 3), DeflectionRecord.Jump(1, 2, 10), DeflectionRecord.Dot(1, 2, 100), DeflectionRecord.Dot(1, 2, 3))];
        Assert.Equal(103, dot.Sum(record => record.Ticks) - 10);
        DeflectionRecord[] led = [.. CorrectWith(Header with { MaximumDwellTicks = 100 }, Delays(ticks, 0), DeflectionRecord.Jump(1, 2, 10), DeflectionRecord.Line(1, 2, 1, 9, 3, 30))];
        DeflectionRecord[] leadIn = [.. led.Where(record => record.Kind == RecordKind.Dot)];
        Assert.Equal((dwells, ticks), (leadIn.Length, (int)leadIn.Sum(record => record.Ticks)));
        Assert.All(leadIn, record => Assert.InRange(record.Ticks, 2, 100));
        Assert.Equal(DeflectionRecord.Line(1, 2, 1, 9, 3, 30), led[^1]);
    }

    [Fact]
    public void Lead_in_and_end_stand_where_the_line_begins_and_ends() => Assert.Equal(
        [
            DeflectionRecord.Jump(10, 200, 10),
            DeflectionRecord.Dot(10, 200, 4),
            DeflectionRecord.Dot(10, 200, 10),
            DeflectionRecord.Dot(20, 100, 7),
            DeflectionRecord.Wait(3),
        ],
        Correct(Delays(4, 3), DeflectionRecord.Jump(10, 200, 10), DeflectionRecord.Line(10, 200, 20, 100, 2, 20)));

    [Fact]
    public void A_slow_blanker_takes_as_many_of_the_last_points_as_it_needs()
    {
        // 12 ticks off-delay and 2 ticks least dwell: two points of 10 ticks.
        Assert.Equal(
            [DeflectionRecord.Jump(0, 0, 10), DeflectionRecord.Line(0, 0, 2, 0, 3, 30), DeflectionRecord.Dot(4, 0, 8), DeflectionRecord.Wait(12)],
            Correct(Delays(0, 12), DeflectionRecord.Jump(0, 0, 10), DeflectionRecord.Line(0, 0, 4, 0, 5, 50)));
    }

    [Theory]
    [InlineData(0, 100)]
    [InlineData(-100, 0)]
    public void Points_beyond_reach_stay_where_they_are_and_give_up_ticks(int stepX, int stepY)
    {
        // 12 ticks off-delay and 2 ticks least dwell, but only the last point of 10 ticks within reach: 4 too many, from the four before.
        var output = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var pass = new BlankerTiming(Delays(0, 12), output) { ReachCodes = 99 };
        pass.Begin(Header);
        pass.Write([DeflectionRecord.Jump(500, 500, 10), DeflectionRecord.Line(500, 500, 500 + 4 * stepX, 500 + 4 * stepY, 5, 50)]);
        pass.End();
        Assert.Equal(
            [
                DeflectionRecord.Jump(500, 500, 10), DeflectionRecord.Line(500, 500, 500 + 3 * stepX, 500 + 3 * stepY, 4, 36),
                DeflectionRecord.Dot(500 + 4 * stepX, 500 + 4 * stepY, 2), DeflectionRecord.Wait(12),
            ],
            output.Items);
        Assert.Equal(0, pass.Excess.Ticks);
    }

    [Fact]
    public void What_a_stretch_gets_too_much_is_owed_with_what_would_have_been_enough()
    {
        var output = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var pass = new BlankerTiming(Delays(0, 30), output);
        pass.Begin(Header);
        pass.Write([DeflectionRecord.Jump(0, 0, 10), DeflectionRecord.Dot(0, 0, 20)]);
        pass.End();
        Assert.Equal([DeflectionRecord.Jump(0, 0, 10), DeflectionRecord.Dot(0, 0, 2), DeflectionRecord.Wait(30)], output.Items);
        Assert.Equal(new Excess(12, 18), pass.Excess);
    }

    [Fact]
    public void A_marker_in_front_of_a_jump_leaves_the_end_of_the_stretch_before_it_alone()
    {
        Assert.Equal(
            [
                DeflectionRecord.Marker(0), DeflectionRecord.Jump(5, 5, 10), DeflectionRecord.Dot(5, 5, 20 + 4 - 3), DeflectionRecord.Wait(3),
                DeflectionRecord.Marker(1), DeflectionRecord.Jump(9, 9, 10), DeflectionRecord.Dot(9, 9, 20 + 4 - 3), DeflectionRecord.Wait(3),
            ],
            Correct(
                Delays(4, 3),
                DeflectionRecord.Marker(0), DeflectionRecord.Jump(5, 5, 10), DeflectionRecord.Dot(5, 5, 20),
                DeflectionRecord.Marker(1), DeflectionRecord.Jump(9, 9, 10), DeflectionRecord.Dot(9, 9, 20)));
    }

    [Fact]
    public void Off_times_and_the_scan_enable_line_get_their_time()
    {
        Blanker blanker = Delays(0, 0) with { ShortestPulseSeconds = 15e-6, ScanEnableSeconds = 100e-6, ScanDisableSeconds = 50e-6 };
        Assert.Equal(
            [DeflectionRecord.Wait(100), DeflectionRecord.Jump(0, 0, 15), DeflectionRecord.Marker(7), DeflectionRecord.Dot(0, 0, 20), DeflectionRecord.Wait(50)],
            Correct(blanker, DeflectionRecord.Jump(0, 0, 10), DeflectionRecord.Marker(7), DeflectionRecord.Dot(0, 0, 20)));
    }

    [Fact]
    public void Without_delays_or_without_a_blanker_nothing_changes()
    {
        DeflectionRecord[] records = [DeflectionRecord.Jump(0, 0, 10), DeflectionRecord.Line(0, 0, 4, 0, 5, 50), DeflectionRecord.Dot(5, 0, 9), DeflectionRecord.Jump(9, 9, 1)];
        Assert.Equal(records, Correct(Delays(0, 0), records));
        Assert.Equal(records, Correct(new Blanker(false, true, 5e-6, 5e-6, 1), records));
    }

    /// <summary>A lead-in shorter than the shortest dwell of 2 ticks is spread over the first exposure; one of just 2 is a dwell of its own.</summary>
    [Fact]
    public void A_lead_in_is_a_dwell_if_the_controller_makes_one_so_short()
    {
        DeflectionRecord jump = DeflectionRecord.Jump(0, 0, 10);
        DeflectionRecord line = DeflectionRecord.Line(0, 0, 0, 4, 5, 50);
        Assert.Equal([jump, line with { Ticks = 51 }], Correct(Delays(1, 0), jump, line));
        Assert.Equal([jump, DeflectionRecord.Dot(0, 0, 2), line], Correct(Delays(2, 0), jump, line));
    }

    /// <summary>
    /// The longest dwell is 10 ticks here. A first point of 11 is written as 9 and 2; where the shortest dwell is 6 it takes 12, and the line
    /// behind it gives one back.
    /// </summary>
    [Theory]
    [InlineData(2, 9, 2, 40)]
    [InlineData(5, 6, 5, 40)]
    [InlineData(6, 6, 6, 39)]
    public void A_first_point_beyond_the_longest_dwell_is_divided(long shortest, long first, long second, long rest) => Assert.Equal(
        [DeflectionRecord.Jump(7, 0, 10), DeflectionRecord.Dot(7, 0, first), DeflectionRecord.Dot(7, 0, second), DeflectionRecord.Line(7, 1, 7, 4, 4, rest)],
        CorrectWith(Header with { MinimumDwellTicks = shortest, MaximumDwellTicks = 10 }, Delays(1, 0), DeflectionRecord.Jump(7, 0, 10), DeflectionRecord.Line(7, 0, 7, 4, 5, 50)));

    [Fact]
    public void A_lead_in_of_any_length_is_divided() => Assert.Equal(
        [DeflectionRecord.Jump(7, 3, 10), .. new long[] { 10, 9, 2 }.Select(ticks => DeflectionRecord.Dot(7, 3, ticks)), DeflectionRecord.Line(7, 3, 9, 3, 3, 30)],
        CorrectWith(Header with { MaximumDwellTicks = 10 }, Delays(21, 0), DeflectionRecord.Jump(7, 3, 10), DeflectionRecord.Line(7, 3, 9, 3, 3, 30)));

    /// <summary>What is late by parts of a tick adds up figure by figure and is made up for in whole ticks, halves upward.</summary>
    [Theory]
    [InlineData(1.5, 0, 0, "21 22 21 22")] // half a tick too much each time: one less at once, then none
    [InlineData(0, 1.5, 0, "18 19 18 19")] // half a tick too few: one more at every second
    [InlineData(1.25, 0, 0, "21 21 22 21")] // 0.75 each: -0.25, -0.5, 0.25, 0
    [InlineData(0, 0, 0.06, "19 20 19 20")] // 0.6 for each jump of 10 ticks: -0.4, 0.2, -0.2, 0.4
    [InlineData(0, 0, 0.25, "17 17 18 18")] // 2.5: 3, 2, 3 and 2 back; no dwell gives more than an eighth while the one before can
    public void Parts_of_ticks_add_up(double on, double off, double leak, string dwells)
    {
        DeflectionRecord[] records = [.. Enumerable.Range(0, 4).SelectMany(i => new[] { DeflectionRecord.Jump(i, 9, 10), DeflectionRecord.Dot(i, 9, 20) })];
        Blanker blanker = new(true, true, off * 1e-6, on * 1e-6, leak);
        Assert.Equal(dwells, Dwells(Correct(blanker, records)));

        // Of two figures in turns each has its own.
        string[] alone = Dwells(Correct(blanker, records)).Split(' ');
        DeflectionRecord[] turns = [.. Enumerable.Range(0, 8).SelectMany(i => new[] { DeflectionRecord.Marker(i % 2), DeflectionRecord.Jump(i, 9, 10), DeflectionRecord.Dot(i, 9, 20) })];
        Assert.Equal(string.Join(' ', alone.SelectMany(dwell => new[] { dwell, dwell })), Dwells(Correct(blanker, turns)));

        static string Dwells(List<DeflectionRecord> records) => string.Join(' ', records.Where(r => r.Points > 0).Select(r => r.Ticks));
    }

    /// <summary>A wait before an exposure leaks onto the figure before it, which is done; only a jump leaks where the next one begins.</summary>
    [Fact]
    public void Only_jumps_leak_onto_the_figure_that_follows()
    {
        Blanker leaky = new(true, true, 0, 0, 0.1);
        Assert.Equal(
            [DeflectionRecord.Jump(1, 1, 40), DeflectionRecord.Wait(50), DeflectionRecord.Dot(1, 1, 20)],
            Correct(leaky, DeflectionRecord.Jump(1, 1, 40), DeflectionRecord.Wait(50), DeflectionRecord.Dot(1, 1, 20)));
        Assert.Equal(
            [DeflectionRecord.Wait(50), DeflectionRecord.Jump(1, 1, 40), DeflectionRecord.Dot(1, 1, 16)],
            Correct(leaky, DeflectionRecord.Wait(50), DeflectionRecord.Jump(1, 1, 40), DeflectionRecord.Dot(1, 1, 20)));

        // A fog of microns leaves next to nothing at the place of the dot.
        Assert.Equal(
            Correct(leaky with { LeakFraction = 0 }, DeflectionRecord.Wait(50), DeflectionRecord.Jump(1, 1, 40), DeflectionRecord.Dot(1, 1, 20)),
            Correct(leaky with { LeakSpotNanometres = 5000 }, DeflectionRecord.Wait(50), DeflectionRecord.Jump(1, 1, 40), DeflectionRecord.Dot(1, 1, 20)));

        // At the end the beam waits where it was last: 30 ticks leak 3.
        Assert.Equal(
            [DeflectionRecord.Jump(1, 1, 40), DeflectionRecord.Dot(1, 1, 13), DeflectionRecord.Wait(30)],
            Correct(leaky with { ScanDisableSeconds = 30e-6 }, DeflectionRecord.Jump(1, 1, 40), DeflectionRecord.Dot(1, 1, 20)));
    }

    /// <summary>Times of the scan-enable line are rounded up to ticks, and so is the shortest pulse.</summary>
    [Theory]
    [InlineData(2, 2)]
    [InlineData(2.25, 3)]
    [InlineData(2.75, 3)]
    public void Times_are_rounded_up(double microseconds, long ticks)
    {
        double seconds = microseconds * 1e-6;
        Assert.Equal(
            [DeflectionRecord.Wait(ticks), DeflectionRecord.Jump(0, 0, ticks), DeflectionRecord.Dot(0, 0, 20), DeflectionRecord.Wait(ticks)],
            Correct(Delays(0, 0) with { ShortestPulseSeconds = seconds, ScanEnableSeconds = seconds, ScanDisableSeconds = seconds }, DeflectionRecord.Jump(0, 0, 1), DeflectionRecord.Dot(0, 0, 20)));
    }

    /// <summary>When the beam arrives for the next exposure: after all that was written, and after the on-delay where it is off.</summary>
    [Fact]
    public void The_time_of_the_next_exposure_counts_what_is_held_back()
    {
        var pass = new BlankerTiming(Delays(4, 3) with { ScanEnableSeconds = 100e-6 }, new CollectingSink<RecordsHeader, DeflectionRecord>());
        pass.Begin(Header);
        Assert.Equal(104, pass.ElapsedTicks);
        pass.Write([DeflectionRecord.Marker(7), DeflectionRecord.Jump(5, 5, 10)]);
        Assert.Equal(114, pass.ElapsedTicks);
        pass.Write([DeflectionRecord.Line(5, 5, 9, 5, 5, 50)]);
        Assert.Equal(164, pass.ElapsedTicks);
        pass.Write([DeflectionRecord.Marker(8), DeflectionRecord.Dot(10, 5, 20)]);
        Assert.Equal(184, pass.ElapsedTicks);
        pass.Write([DeflectionRecord.Jump(5, 5, 10)]);
        Assert.Equal(198, pass.ElapsedTicks);
    }

    // The beam is on from the on-delay after the first exposing record starts until the off-delay after the last one ends.
    [Fact]
    public void Each_stretch_is_on_for_as_long_as_it_asks() => Gen.Select(
        Gen.Int[0, 20],
        Gen.Int[0, 20],
        Gen.Select(Gen.Int[1, 6], Gen.Int[45, 90], Gen.Bool).Array[1, 12]).Sample(
        (on, off, steps) =>
        {
            var records = new List<DeflectionRecord> { DeflectionRecord.Jump(0, 0, 30) };
            var asked = new List<long> { 0 };
            foreach ((int points, int dwell, bool jumps) in steps)
            {
                if (jumps && asked[^1] > 0)
                {
                    records.Add(DeflectionRecord.Jump(0, 0, 30));
                    asked.Add(0);
                }

                records.Add(points == 1 ? DeflectionRecord.Dot(0, 0, dwell) : DeflectionRecord.Line(0, 0, points - 1, 0, points, points * dwell));
                asked[^1] += points * dwell;
            }

            var delivered = new List<long>();
            long commanded = 0;
            foreach (DeflectionRecord record in Correct(Delays(on, off), [.. records, DeflectionRecord.Jump(0, 0, 30)]))
            {
                if (record.Points > 0)
                {
                    commanded += record.Ticks;
                }
                else if (commanded > 0)
                {
                    delivered.Add(commanded - on + off);
                    commanded = 0;
                }
            }

            return delivered.SequenceEqual(asked);
        },
        iter: Iterations.Usually(300));

    /// <summary>
    /// Dwells down to the controller's shortest, delays beyond them: no point is shorter than the controller allows, and what
    /// a stretch gets too much others get less, or it is owed; together they never get too little.
    /// </summary>
    [Fact]
    public void Whatever_the_dwell_no_point_is_too_short_and_every_excess_is_counted() => Gen.Select(
        Gen.Int[0, 30],
        Gen.Int[0, 30],
        Gen.Select(Gen.Int[1, 12], Gen.Int[2, 40], Gen.Bool).Array[1, 12]).Sample(
        (on, off, steps) =>
        {
            var records = new List<DeflectionRecord> { DeflectionRecord.Jump(0, 0, 30) };
            var asked = new List<long> { 0 };
            foreach ((int points, int dwell, bool jumps) in steps)
            {
                if (jumps && asked[^1] > 0)
                {
                    records.Add(DeflectionRecord.Jump(0, 0, 30));
                    asked.Add(0);
                }

                records.Add(points == 1 ? DeflectionRecord.Dot(0, 0, dwell) : DeflectionRecord.Line(0, 0, points - 1, 0, points, points * dwell));
                asked[^1] += points * dwell;
            }

            var output = new CollectingSink<RecordsHeader, DeflectionRecord>();
            var pass = new BlankerTiming(Delays(on, off), output);
            pass.Begin(Header);
            pass.Write([.. records, DeflectionRecord.Jump(0, 0, 30)]);
            pass.End();
            var excess = new List<long>();
            long commanded = 0;
            foreach (DeflectionRecord record in output.Items)
            {
                if (record.Points > 0)
                {
                    Assert.True(record.Ticks / record.Points >= Header.MinimumDwellTicks, $"{record}");
                    commanded += record.Ticks;
                }
                else if (commanded > 0)
                {
                    excess.Add(commanded - on + off - asked[excess.Count]);
                    commanded = 0;
                }
            }

            Assert.Equal(asked.Count, excess.Count);
            Assert.Equal(excess.Sum(), pass.Excess.Ticks);
        },
        iter: Iterations.Usually(300));

    private static Blanker Delays(int onTicks, int offTicks) => new(true, true, offTicks * 1e-6, onTicks * 1e-6, 0);

    private static List<DeflectionRecord> Correct(Blanker blanker, params DeflectionRecord[] records) => CorrectWith(Header, blanker, records);

    private static List<DeflectionRecord> CorrectWith(RecordsHeader header, Blanker blanker, params DeflectionRecord[] records)
    {
        var output = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var pass = new BlankerTiming(blanker, output);
        pass.Begin(header);
        pass.Write(records);
        pass.End();
        Assert.True(output.HasEnded);
        return output.Items;
    }
}
