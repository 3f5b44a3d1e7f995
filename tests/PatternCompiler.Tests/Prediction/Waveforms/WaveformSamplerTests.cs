using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Waveforms;
using PatternCompiler.Tests.BackEnds;

namespace PatternCompiler.Tests.Prediction.Waveforms;

using Waves = PatternCompiler.Prediction.Waveforms.Waveforms;

public sealed class WaveformSamplerTests
{
    // 10 MHz: 0.1 µs a tick; 1.5 nm a code.
    private const double Tick = 1e-7;
    private static readonly RecordsHeader Header = Exposures.Header(12);

    /// <summary>First-order step response: after a step from a to b the output stands at b + (a − b)·exp(−t/τ).</summary>
    [Fact]
    public void A_step_settles_as_a_first_order_lag()
    {
        const double Tau = 2e-6;
        Waves waves = Sampled(Lagging(Tau, 0), TraceWindow.OfTime(0, 1), DeflectionRecord.Jump(1000, 3000, 10), DeflectionRecord.Jump(3000, 500, 100));
        for (int tick = 10; tick < 110; tick++)
        {
            double early = Math.Exp(-(tick - 10) * Tick / Tau);
            double late = Math.Exp(-(tick - 9) * Tick / Tau);
            Envelope x = waves.Columns[Waves.SettledX][tick];
            Envelope y = waves.Columns[Waves.SettledY][tick];
            Assert.Equal(3000 - 2000 * early, x.First, 1e-6);
            Assert.Equal(3000 - 2000 * late, x.Last, 1e-6);
            Assert.Equal(500 + 2500 * early, y.First, 1e-6);
            Assert.Equal(500 + 2500 * late, y.Last, 1e-6);
            Assert.Equal(Envelope.Between(3000, 3000), waves.Columns[Waves.X][tick]);
        }
    }

    /// <summary>On a long, even ramp a first-order lag stays back by speed times time constant.</summary>
    [Fact]
    public void A_ramp_lags_by_speed_times_time_constant()
    {
        const double Tau = 1e-6;
        Waves waves = Sampled(Lagging(Tau, 0), TraceWindow.OfTime(0, 1), DeflectionRecord.Jump(0, 0, 10), DeflectionRecord.Line(0, 0, 4000, 2000, 4001, 4001));

        // A code a tick, held for it: the sum of what all steps have left is 1 / (1 − exp(−tick/τ)), speed times τ and half a step.
        double lag = 1 / (1 - Math.Exp(-Tick / Tau));
        Assert.Equal(1 / Tick * Tau + 0.5, lag, 0.01);
        foreach (int tick in new[] { 500, 1000, 4000 })
        {
            Assert.Equal(tick - 10, waves.Columns[Waves.X][tick].First);
            Assert.Equal(tick - 10 - lag, waves.Columns[Waves.SettledX][tick].First, 1e-6);

            // Half a code a tick, halves rounded up: a quarter of a code more on average.
            Assert.Equal((tick - 10 - lag) / 2 + 0.25, waves.Columns[Waves.SettledY][tick].First, 0.05);
        }
    }

    /// <summary>A circle in equal steps: behind a first-order lag its radius shrinks by 1/√(1 + (ωτ)²) and it is late by atan(ωτ).</summary>
    [Fact]
    public void A_circle_shrinks_and_is_late_as_a_first_order_lag_has_it()
    {
        const double Tau = 2e-6;
        const int PerTurn = 400;
        const double Radius = 1500;
        double omega = 2 * Math.PI / (PerTurn * Tick);
        DeflectionRecord[] dots = [.. Enumerable.Range(0, 5 * PerTurn).Select(i => DeflectionRecord.Dot(At(Math.Cos, i), At(Math.Sin, i), 1))];
        Waves waves = Sampled(Lagging(Tau, 0), TraceWindow.OfTime(0, 1), [DeflectionRecord.Jump(At(Math.Cos, 0), At(Math.Sin, 0), 1), .. dots]);
        double late = Math.Atan(omega * Tau);
        double shrunk = Radius / Math.Sqrt(1 + omega * Tau * (omega * Tau));
        for (int i = 4 * PerTurn; i < 5 * PerTurn; i += 25)
        {
            // Held for a tick, the staircase is late by half of one.
            double angle = omega * (i - 1 - 0.5) * Tick - late;
            Envelope x = waves.Columns[Waves.SettledX][i];
            Envelope y = waves.Columns[Waves.SettledY][i];
            Assert.Equal(2048 + shrunk * Math.Cos(angle), x.First, 1.0);
            Assert.Equal(2048 + shrunk * Math.Sin(angle), y.First, 1.0);
        }

        static int At(Func<double, double> axis, int i) => (int)Math.Round(2048 + Radius * axis(2 * Math.PI * i / PerTurn));
    }

    /// <summary>A speed limit of 3 nm/tick is 2 codes a tick on 1.5 nm a code, and no more.</summary>
    [Fact]
    public void A_speed_limit_makes_a_ramp_of_a_step()
    {
        Waves waves = Sampled(Lagging(0, 3 / Tick), TraceWindow.OfTime(0, 1), DeflectionRecord.Jump(0, 4000, 10), DeflectionRecord.Jump(200, 3900, 200));
        for (int tick = 0; tick < 200; tick++)
        {
            Assert.Equal(Math.Min(200, 2 * tick), waves.Columns[Waves.SettledX][10 + tick].First, 1e-9);
            Assert.Equal(Math.Max(3900, 4000 - 2 * tick), waves.Columns[Waves.SettledY][10 + tick].First, 1e-9);
        }
    }

    [Fact]
    public void The_beam_comes_and_goes_by_the_delays_of_the_blanker()
    {
        Machine machine = DefaultFiles.Machine with { Blanker = DefaultFiles.Machine.Blanker with { OnDelaySeconds = 3.5 * Tick, OffDelaySeconds = 5.5 * Tick, LeakFraction = 0 } };
        Waves waves = Sampled(machine, TraceWindow.OfTime(0, 1), DeflectionRecord.Jump(1, 1, 10), DeflectionRecord.Dot(1, 1, 20), DeflectionRecord.Jump(2, 2, 20));
        for (int tick = 0; tick < 50; tick++)
        {
            Assert.Equal(tick is >= 10 and < 30 ? 1 : 0, waves.Columns[Waves.Beam][tick].First);
            Assert.Equal(tick is >= 13 and < 35 ? 1 : 0, waves.Columns[Waves.DelayedBeam][tick].Last);
        }
    }

    /// <summary>What a window shows is what the whole shows there, whatever went before: in time, and by records.</summary>
    [Fact]
    public void A_window_is_a_part_of_the_whole() => (
        from items in Gen.Select(Gen.Int[0, 4095], Gen.Int[0, 4095], Gen.Int[1, 60], Gen.Int[0, 3], (x, y, ticks, kind) => kind switch
        {
            0 => DeflectionRecord.Jump(x, y, ticks),
            1 => DeflectionRecord.Wait(ticks),
            2 => DeflectionRecord.Line(x, y, y, x, 7, ticks),
            _ => DeflectionRecord.Dot(x, y, ticks),
        }).Array[2, 60]
        from tau in Gen.Double[0, 3e-7]
        from slew in Gen.Int[0, 2].Select(i => new[] { 0, 3e10, 3e11 }[i])
        from first in Gen.Int[0, items.Length - 1]
        from last in Gen.Int[first, items.Length - 1]
        select (items, tau, slew, first, last)).Sample(
        chosen =>
        {
            (DeflectionRecord[] items, double tau, double slew, int first, int last) = chosen;
            long from = items.Take(first).Sum(item => item.Ticks);
            long length = items.Skip(first).Take(last - first + 1).Sum(item => item.Ticks);
            Waves whole = Sampled(Lagging(tau, slew), TraceWindow.OfTime(0, 1), items);
            Waves byRecords = Sampled(Lagging(tau, slew), TraceWindow.OfRecords(first, last), items);
            Waves byTime = Sampled(Lagging(tau, slew), TraceWindow.OfTime(from * Tick, length * Tick), items);
            foreach (Waves part in new[] { byRecords, byTime })
            {
                Assert.Equal((from, length), (part.StartTick, part.Columns.Ticks));
                foreach (int line in Enumerable.Range(0, Waves.LineCount))
                {
                    for (int i = 0; i < length; i++)
                    {
                        Envelope expected = whole.Columns[line][(int)from + i];
                        Envelope found = part.Columns[line][i];
                        Assert.Equal(expected.First, found.First, 1e-6);
                        Assert.Equal(expected.Last, found.Last, 1e-6);
                    }
                }
            }
        },
        iter: Iterations.Usually(300));

    /// <summary>A spike of one tick within ten million ticks is in the picture's columns, at its place and in full.</summary>
    [Fact]
    public void No_spike_is_lost_however_long_the_window_is()
    {
        Waves waves = Sampled(
            null, TraceWindow.OfTime(0, double.PositiveInfinity), DeflectionRecord.Jump(100, 100, 7_000_000), DeflectionRecord.Dot(4000, 3, 1), DeflectionRecord.Jump(100, 100, 3_000_000));
        Assert.InRange(waves.Columns.Count, EnvelopeColumns.Most / 2, EnvelopeColumns.Most);
        int at = (int)(7_000_000 / waves.Columns.TicksPerColumn);
        Assert.Equal(new Envelope(100, 100, 4000, 100), waves.Columns[Waves.X][at]);
        Assert.Equal(new Envelope(100, 3, 100, 100), waves.Columns[Waves.Y][at]);
        Assert.Equal(new Envelope(0, 0, 1, 0), waves.Columns[Waves.Beam][at]);
        Assert.All(Enumerable.Range(0, waves.Columns.Count).Where(i => i != at), i => Assert.Equal(Envelope.Between(100, 100), waves.Columns[Waves.X][i]));
    }

    /// <summary>Any division gives the same as all points at once: first, lowest, highest and last of each column.</summary>
    [Fact]
    public void Columns_hold_first_lowest_highest_and_last() => Gen.Select(Gen.Int[0, 4095], Gen.Int[1, 3000]).Array[1, 200].Sample(
        holds =>
        {
            Waves waves = Sampled(null, TraceWindow.OfTime(0, double.PositiveInfinity), [.. holds.Select(hold => DeflectionRecord.Dot(hold.Item1, 7, hold.Item2))]);
            int[] ticks = [.. holds.SelectMany(hold => Enumerable.Repeat(hold.Item1, hold.Item2))];
            int width = (int)waves.Columns.TicksPerColumn;
            Assert.Equal(ticks.Chunk(width).Select(chunk => new Envelope(chunk[0], chunk.Min(), chunk.Max(), chunk[^1])), waves.Columns[Waves.X].ToArray());
        },
        iter: Iterations.Usually(100));

    [Theory]
    [InlineData(false, "a.stream: error PC3030: nothing of the exposure lies in the window from 1 s: it lasts 3 us and has 2 records; choose a window within the exposure")]
    [InlineData(true, "a.stream: error PC3030: no record from 2 to 9 takes time: the exposure lasts 3 us and has 2 records; choose a window within the exposure")]
    public void A_window_that_holds_nothing_is_an_error(bool isByRecords, string expected)
    {
        TraceWindow window = isByRecords ? TraceWindow.OfRecords(2, 9) : TraceWindow.OfTime(1, 1);
        Assert.Equal(expected, Assert.Throws<CompileException>(() => Sampled(null, window, DeflectionRecord.Jump(1, 1, 10), DeflectionRecord.Wait(20))).Message);
    }

    private static Machine Lagging(double tau, double slewNanometresPerSecond) =>
        DefaultFiles.Machine with { Settle = new SettleModel(0, tau, slewNanometresPerSecond) };

    private static Waves Sampled(Machine? machine, TraceWindow window, params DeflectionRecord[] items)
    {
        var sampler = new WaveformSampler("a.stream", window, machine);
        sampler.Begin(Header);
        sampler.Write(items);
        sampler.End();
        return sampler.ToWaveforms();
    }
}
