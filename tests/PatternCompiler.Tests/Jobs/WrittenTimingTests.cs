using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Measure;

namespace PatternCompiler.Tests.Jobs;

public sealed class WrittenTimingTests
{
    // Fields of 65.536 um by 131.072 um: a code is 1 nm in x and 2 nm in y. 2 nA, 10 MHz, waits of 1 us per nanometre by the slew limit alone.
    private static readonly Machine Machine = DefaultFiles.Machine with
    {
        Dac = new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode),
        Deflection = new Deflection(65_536, 131_072, false, true, false, AffineCalibration.Identity),
        Clock = new Clock(1e7, 1, 1_000_000),
        Beam = DefaultFiles.Machine.Beam with { CurrentAmperes = 2e-9, Later = null },
        Settle = new SettleModel(1e-6, 0, 1e6),
        Blanker = new Blanker(true, true, 4e-6, 3e-6, 0) { IsCompensated = true },
    };

    private static ExposureTiming Timing(Machine machine, string job = "") => WrittenTiming.Of(new BuildSettings(
        JobFile.Parse($"job: test\n{job}", "job.yaml"), machine, DefaultFiles.Process with { LineDoseCoulombsPerMetre = 1e-9 }));

    /// <summary>Delays are told where the machine file makes up for them; the beam comes late whether it does or not, where there is a blanker.</summary>
    [Theory]
    [InlineData(true, true, 4, 3, 3)]
    [InlineData(true, false, 0, 0, 3)]
    [InlineData(false, true, 0, 0, 0)]
    [InlineData(false, false, 0, 0, 0)]
    public void Delays_are_those_that_were_made_up_for(bool isPresent, bool isCompensated, double off, double on, double late)
    {
        var blanker = new Blanker(isPresent, true, 4e-6, 3e-6, 0) { IsCompensated = isCompensated };
        ExposureTiming timing = Timing(Machine with { Blanker = blanker });
        Assert.Equal(off, timing.OffDelayMicroseconds, 9);
        Assert.Equal(on, timing.OnDelayMicroseconds, 9);
        Assert.Equal(1 + late, timing.WaitMicroseconds(0, 0), 9);
    }

    /// <summary>Charge in a length of line is current over speed: 2 nA at 2 m/s are 1 nC/m; each of several passes has its part.</summary>
    [Theory]
    [InlineData("", "pads", 1, 2000)]
    [InlineData("", "pads", 4, 500)]
    [InlineData("fill: {passes: 3}", "pads", 1, 6000)]
    [InlineData("layers: [{layer: pads, dose_factor: 2.5}]", "pads", 2, 400)]
    [InlineData("layers: [{layer: pads, dose_factor: 2.5}]", "others", 2, 1000)]
    public void Speed_is_current_over_line_dose(string job, string layer, double factor, double expected) =>
        Assert.Equal(expected, Timing(Machine, job).SpeedNanometresPerMicrosecond(layer, factor), 1e-9);

    /// <summary>
    /// At 1 nm/us the slower axis says how long a jump takes until it is half a code from its goal, to the nearest code: 40 nm less 0.5 nm in x,
    /// less 1 nm in y; 3 us more until the beam arrives.
    /// </summary>
    [Theory]
    [InlineData(40, 0, 42.5)]
    [InlineData(-40, 12, 42.5)]
    [InlineData(0, 40, 42)]
    [InlineData(12, -40, 42)]
    [InlineData(39.6, 0, 42.5)]
    [InlineData(0, 40.8, 42)]
    [InlineData(0, -39.2, 42)]
    public void A_wait_is_that_of_the_slower_axis(double x, double y, double expected) => Assert.Equal(expected, Timing(Machine).WaitMicroseconds(x, y), 1e-9);
}
