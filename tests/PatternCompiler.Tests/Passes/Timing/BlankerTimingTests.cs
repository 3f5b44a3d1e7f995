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
        iter: 300);

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
        iter: 300);

    private static Blanker Delays(int onTicks, int offTicks) => new(true, true, offTicks * 1e-6, onTicks * 1e-6, 0);

    private static List<DeflectionRecord> Correct(Blanker blanker, params DeflectionRecord[] records)
    {
        var output = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var pass = new BlankerTiming(blanker, output);
        pass.Begin(Header);
        pass.Write(records);
        pass.End();
        Assert.True(output.HasEnded);
        return output.Items;
    }
}
