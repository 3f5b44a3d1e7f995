using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Prediction.Waveforms;

namespace PatternCompiler.Tests.Prediction;

/// <summary>Waits for a trigger and hum in predictions, against closed forms.</summary>
public sealed class TriggerPredictionTests
{
    private const double Amplitude = 40;
    private static readonly RecordsHeader Header = new("m", DefaultFiles.Machine.Dac, 1e6, 1, 1_000_000, 1.5, 1.5, false) { WaitsForTrigger = true };

    private static readonly Machine Machine = DefaultFiles.Machine with
    {
        Blanker = new Blanker(true, true, 0, 0, 0),
        Settle = new SettleModel(0, 0, 0),
        Trigger = new TriggerInput(50, 0.1),
        Hum = new Hum(50, [new HumWave(Amplitude, 30)], [new HumWave(Amplitude, 120)]),
    };

    // The first wait takes half of 20 ms; behind it 502 us and 25.302 ms pass until the next ones, jumps of 2 us among them: 19.498 and 14.698 ms are left.
    [Fact]
    public void The_rest_of_the_period_is_waited_for()
    {
        ExposureEstimate e = Estimate(Machine, Header, Unit(500), Unit(25_300), Unit(100));
        Assert.Equal((3, 0.044196, 0.06), (e.Triggers!.Waits, e.Triggers.ExpectedSeconds, e.Triggers.MostSeconds));
        Assert.Equal(0.044196 + 0.0259 + 6e-6, e.TotalSeconds, 1e-9);
        Assert.Equal(0.0253, e.Triggers.LongestUnitSeconds, 1e-9);
        Assert.Equal(0.0259 / 3, e.Triggers.MeanUnitSeconds, 1e-9);
        Assert.Contains("trigger               3 waits, 44.2 ms of the write time, 0 s to 60 ms in all\n", EstimateText.Format(e), StringComparison.Ordinal);
    }

    // Over a whole period the swing is twice the amplitude; from 30 degrees on, for a 40th of a period, 40 nm (sin 39 - sin 30).
    [Fact]
    public void The_hum_swings_within_a_unit()
    {
        HumSwing whole = Estimate(Machine, Header, Unit(25_300)).Triggers!.Hum!.Value;
        Assert.Equal((2 * Amplitude, 2 * Amplitude), (whole.XNanometres, whole.YNanometres), Near(0.01));
        HumSwing part = Estimate(Machine, Header, Unit(500)).Triggers!.Hum!.Value;
        Assert.Equal(Amplitude * (Math.Sin(39 * Math.PI / 180) - 0.5), part.XNanometres, 0.001);
    }

    [Fact]
    public void A_leak_collects_while_an_edge_is_waited_for()
    {
        Machine leaky = Machine with { Blanker = new Blanker(true, true, 0, 0, 1e-3) };
        ExposureEstimate e = Estimate(leaky, Header, Unit(500));
        Assert.Equal(1e-3 * 20_000 / 500, e.Triggers!.LeakPart, 1e-9);
        Assert.Contains(e.Warnings, warning => warning.Code.Id == "PC3041");
        Assert.DoesNotContain(Estimate(Machine, Header, Unit(500)).Warnings, warning => warning.Code.Id == "PC3041");
    }

    [Fact]
    public void A_machine_without_the_input_is_refused()
    {
        const string Expected = "error PC3040: the records of 'm' wait for the trigger input, but the machine 'built-in microscope, 16 bit' has none, so nobody knows when they go on; name the machine for which they were made, or add 'trigger' to its file";
        Machine none = Machine with { Trigger = null };
        Assert.Equal(Expected, Assert.Throws<CompileException>(() => Estimate(none, Header, Unit(5))).Message);
        Assert.Equal(Expected, Assert.Throws<CompileException>(() => new ExposureReplay(none, new ChargeMap(10)).Begin(Header)).Message);
    }

    /// <summary>Each dot begins at an edge, so all charge lies at the mean of the sine over the dot's time, wherever writing started.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(77)]
    [InlineData(300)]
    public void Triggered_charge_lies_at_one_phase(double startDegrees)
    {
        HumShift shift = Replay(Machine, Header, startDegrees, Unit(400), Unit(31_000)[..3], Unit(400), Unit(400)[..3]);
        double turn = 400e-6 * 50 * 2 * Math.PI;
        double mean = Amplitude * (Math.Cos(Math.PI / 6) - Math.Cos(Math.PI / 6 + turn)) / turn;
        Assert.Equal(mean, Replay(Machine, Header, startDegrees, Unit(400), Unit(400), Unit(400)).MeanXNanometres, 0.02);
        Assert.True(shift.MostNanometres <= Amplitude);
    }

    /// <summary>At opposite phases the mean vanishes; what is left is the amplitude as blur.</summary>
    [Fact]
    public void Opposite_phases_leave_blur_alone()
    {
        HumShift shift = Replay(Machine, Header, 0, Unit(20), [Unit(20)[0], Unit(20)[1], DeflectionRecord.Wait(10_000), Unit(20)[2]]);
        Assert.Equal(0, shift.MeanXNanometres, 1e-6);
        Assert.Equal(Amplitude * 0.5, shift.DeviationXNanometres, 0.3);
    }

    /// <summary>Without a trigger a dot of a whole period is blurred by a sine: amplitude over root two.</summary>
    [Fact]
    public void A_whole_period_is_blur_alone()
    {
        HumShift shift = Replay(Machine, Header with { WaitsForTrigger = false }, 12, [DeflectionRecord.Jump(9, 9, 1), DeflectionRecord.Dot(9, 9, 20_000)]);
        Assert.Equal(0, shift.MeanXNanometres, 0.05);
        Assert.Equal(Amplitude / Math.Sqrt(2), shift.DeviationXNanometres, 0.05);
        Assert.Equal(Amplitude / Math.Sqrt(2), shift.DeviationYNanometres, 0.05);
    }

    [Fact]
    public void Without_hum_nothing_is_moved()
    {
        HumShift shift = Replay(Machine with { Hum = null }, Header, 0, Unit(400));
        Assert.Equal(default, shift);
    }

    // Writing starts halfway between two edges: 10 ms until the first, less the jump of 2 us.
    [Fact]
    public void Waveforms_wait_until_the_next_edge()
    {
        var sampler = new WaveformSampler("a", TraceWindow.OfTime(0, 1), Machine);
        sampler.Begin(Header);
        sampler.Write([.. Unit(500), .. Unit(500)]);
        Assert.Equal(10_000 + 20_000 + 500, sampler.ToWaveforms().TotalTicks);
        var alone = new WaveformSampler("a", TraceWindow.OfTime(0, 1), null);
        alone.Begin(Header);
        alone.Write(Unit(500));
        Assert.Equal(2 + 100_000 + 500, alone.ToWaveforms().TotalTicks);
    }

    private static DeflectionRecord[] Unit(long ticks) => [DeflectionRecord.Jump(9, 9, 2), DeflectionRecord.Trigger(100_000), DeflectionRecord.Dot(9, 9, ticks)];

    private static ExposureEstimate Estimate(Machine machine, RecordsHeader header, params DeflectionRecord[][] units)
    {
        var estimator = new Estimator(machine);
        estimator.Begin(header);
        estimator.Write(units.SelectMany(unit => unit).ToArray());
        estimator.End();
        return estimator.ToEstimate();
    }

    private static HumShift Replay(Machine machine, RecordsHeader header, double startDegrees, params DeflectionRecord[][] units)
    {
        var mains = HumReplay.Of(machine, startDegrees);
        var replay = new ExposureReplay(machine, new ChargeMap(5), mains: mains);
        replay.Begin(header);
        replay.Write(units.SelectMany(unit => unit).ToArray());
        replay.End();
        return mains.ToShift();
    }

    private static Func<(double, double), (double, double), bool> Near(double most) =>
        (a, b) => Math.Abs(a.Item1 - b.Item1) <= most && Math.Abs(a.Item2 - b.Item2) <= most;
}
