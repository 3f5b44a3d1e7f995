using CsCheck;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Instrument;

/// <summary>Expected values are the textbook solution of first-order lags side by side, and the definition of the play operator.</summary>
public sealed class AxisMotionTests
{
    private static readonly SettleModel TwoParts = new(0, 2e-4, 0)
    {
        ResponseX = [new(0.9, 5e-6), new(0.1, 2e-4)],
        ResponseY = [new(1, 5e-6)],
    };

    [Theory]
    [InlineData(0)]
    [InlineData(3e-6)]
    [InlineData(1e-4)]
    public void A_step_is_done_but_for_the_sum_of_its_parts(double seconds)
    {
        AxisMotion motion = AxisMotion.AlongX(TwoParts);
        motion.Send(1000);
        double left = -1000 * (0.9 * Math.Exp(-seconds / 5e-6) + 0.1 * Math.Exp(-seconds / 2e-4));
        Assert.Equal(left, motion.After(seconds), 1e-9);
        motion.Pass(seconds);
        Assert.Equal(1000 + left, motion.Place, 1e-9);
    }

    /// <summary>Responses add up: what an earlier jump has left is still there under a later one.</summary>
    [Fact]
    public void Earlier_moves_are_remembered()
    {
        AxisMotion motion = AxisMotion.AlongX(TwoParts);
        motion.Send(80_000);
        motion.Pass(1e-4);
        motion.Send(80_100);
        motion.Pass(5e-5);
        double first = -80_000 * (0.9 * Math.Exp(-30) + 0.1 * Math.Exp(-0.75));
        double second = -100 * (0.9 * Math.Exp(-10) + 0.1 * Math.Exp(-0.25));
        Assert.Equal(first + second, motion.Lag, 1e-6);
    }

    /// <summary>One part alone is the response with one time constant.</summary>
    [Fact]
    public void A_sum_of_one_is_one_exponential() => Gen.Select(Gen.Double[-1e5, 1e5], Gen.Double[0, 1e-4], Gen.Double[1e-9, 1e-4], Gen.Int[1, 40]).Sample((goal, from, more, points) =>
    {
        AxisMotion sum = AxisMotion.AlongY(TwoParts), single = AxisMotion.AlongX(new SettleModel(0, 5e-6, 0));
        foreach (AxisMotion motion in (AxisMotion[])[sum, single])
        {
            motion.Send(goal);
            motion.Pass(from);
            motion.Ramp(goal + 7, goal + 300, points, 1e-7 + more);
        }

        Assert.Equal(single.Lag, sum.Lag, 1e-6);
        Assert.Equal(single.Goal, sum.Goal, 1e-9);
        Assert.Equal(single.Mean(from, from + more), sum.Mean(from, from + more), 1e-6);
    }, iter: Iterations.Usually(100));

    [Fact]
    public void A_row_of_points_ends_as_point_by_point() => Gen.Select(Gen.Double[-3000, 3000], Gen.Int[1, 60], Gen.Double[1e-7, 1e-4], Gen.Double[0, 500]).Sample((way, points, seconds, play) =>
    {
        SettleModel model = TwoParts with { HysteresisXNanometres = play };
        AxisMotion row = AxisMotion.AlongX(model), single = AxisMotion.AlongX(model);
        foreach (AxisMotion motion in (AxisMotion[])[row, single])
        {
            motion.Send(400);
            motion.Pass(2e-5);
        }

        double to = points == 1 ? 100 : 100 + way;
        row.Ramp(100, to, points, seconds);
        for (int i = 0; i < points; i++)
        {
            single.Send(points == 1 ? 100 : 100 + way * i / (points - 1));
            single.Pass(seconds / points);
        }

        single.Send(to);
        row.Send(to);
        Assert.Equal(single.Goal, row.Goal, 1e-6);
        Assert.Equal(single.Lag, row.Lag, 1e-6);
    }, iter: Iterations.Usually(100));

    /// <summary>The wait is the first time from which the beam stays within the distance, where all parts pull to one side.</summary>
    [Fact]
    public void The_wait_leaves_what_it_should() => Gen.Double[1, 1e5].Sample(jump =>
    {
        AxisMotion motion = AxisMotion.AlongX(TwoParts);
        motion.Send(jump);
        double wait = motion.SecondsUntil(0.75);
        Assert.True(wait == 0 ? jump <= 0.75 : Math.Abs(Math.Abs(motion.After(wait)) - 0.75) < 1e-9);
    }, iter: Iterations.Usually(100));

    [Fact]
    public void A_wait_holds_for_all_later_times_where_parts_pull_apart()
    {
        SettleModel model = TwoParts with { ResponseX = [new(1.05, 5e-6), new(-0.05, 2e-4)] };
        AxisMotion motion = AxisMotion.AlongX(model);
        motion.Send(10_000);
        double wait = motion.SecondsUntil(1);
        Assert.All(Enumerable.Range(0, 200), i => Assert.True(Math.Abs(motion.After(wait * (1 + i / 50.0))) <= 1));
    }

    /// <summary>p = max(z, min(z + w, p)).</summary>
    [Fact]
    public void A_place_is_met_from_below_and_missed_by_the_play_from_above()
    {
        AxisMotion motion = AxisMotion.AlongX(new SettleModel(0, 0, 0) { HysteresisXNanometres = 40 });
        motion.Rest(0);
        double[] places = [.. ((double[])[100, 80, 50, 0, 30, 41, 90]).Select(command =>
        {
            motion.Send(command);
            motion.Pass(1);
            return motion.Place;
        })];
        Assert.Equal([100, 100, 90, 40, 40, 41, 90], places);
    }

    /// <summary>A beam that is led as it should runs on the places of a line at its speed, from the first point to the last.</summary>
    [Fact]
    public void A_lead_keeps_the_beam_on_its_line()
    {
        const double Dwell = 1e-6, Step = 2;
        const int Points = 800;
        AxisMotion planned = AxisMotion.AlongX(TwoParts), real = AxisMotion.AlongX(TwoParts);
        var leads = new double[Points];
        planned.Lead(Step * (Points - 1), Step / Dwell, Dwell, leads);
        for (int i = 0; i < Points; i++)
        {
            real.Send(i * Step + leads[i]);

            // The first point is still on its way: the command is a step.
            double mean = real.Goal + real.Mean(0, Dwell);
            Assert.InRange(mean - i * Step, -0.6 * Step, 0.6 * Step);
            real.Pass(Dwell);
        }

        // v/Σ(a/τ) at first, v·Σ(a·τ) in the end.
        Assert.Equal(Step / Dwell / (0.9 / 5e-6 + 0.1 / 2e-4), leads[0], 1e-9);
        Assert.Equal(Step / Dwell * (0.9 * 5e-6 + 0.1 * 2e-4), leads[^1], tolerance: 0.5);
    }
}
