using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Runs.Steps;

namespace PatternCompiler.Tests.Runs;

public sealed class BeamReadingsTests
{
    private static readonly DateTime Begin = new(2026, 3, 1, 20, 0, 0, DateTimeKind.Utc);
    private static readonly Beam Stated = new(100e-12, 20, 30_000) { Later = new CurrentReading(3600, 90e-12) };

    [Fact]
    public void Without_a_reading_the_machine_file_holds() => Assert.Equal(Stated, new BeamReadings(100e-12, 0.2).From(Begin, Stated));

    /// <summary>By the machine file 10 pA are lost in an hour.</summary>
    [Theory]
    [InlineData(0, 97, 3600)]
    [InlineData(30, 92, 1800)]
    [InlineData(60, 87, 0)]
    [InlineData(100, 87, 0)]
    public void One_reading_goes_on_as_the_machine_file_says(double minutesLater, double now, double left)
    {
        var readings = new BeamReadings(100e-12, 0.2);
        readings.Add(Begin, 97e-12);
        Beam beam = readings.From(Begin.AddMinutes(minutesLater), Stated);
        Assert.Equal(now * 1e-12, beam.CurrentAmperes, 1e-18);
        Assert.Equal(left > 0 ? left : null, beam.Later?.Seconds);
        Assert.Equal(left > 0 ? 87e-12 : 0, beam.Later?.Amperes ?? 0, 1e-18);
        Assert.Equal(new Beam(97e-12, 20, 30_000), readings.From(Begin.AddMinutes(minutesLater), Stated with { Later = null }));
    }

    /// <summary>The line through 100, 99, 99 and 98 pA, ten minutes apart each, falls by 0.6 pA in ten minutes and ends at 98.1 pA.</summary>
    [Fact]
    public void The_error_of_one_of_several_readings_counts_less()
    {
        var readings = new BeamReadings(100e-12, 0.2);
        double[] read = [100, 99, 99, 98];
        for (int i = 0; i < read.Length; i++)
        {
            readings.Add(Begin.AddMinutes(10 * i), read[i] * 1e-12);
        }

        Beam beam = readings.From(Begin.AddMinutes(35), Stated);
        Assert.Equal(97.8e-12, beam.CurrentAmperes, 1e-18);
        Assert.Equal(new CurrentReading(300, 97.5e-12), beam.Later! with { Amperes = Math.Round(beam.Later.Amperes * 1e15) / 1e15 });
    }

    [Fact]
    public void A_reading_off_the_line_begins_anew()
    {
        var readings = new BeamReadings(100e-12, 0.2);
        readings.Add(Begin, 90e-12);
        readings.Add(Begin.AddMinutes(10), 88e-12);
        readings.Add(Begin.AddMinutes(20), 100e-12);
        Assert.Equal(new Beam(100e-12, 20, 30_000), readings.From(Begin.AddMinutes(25), Stated with { Later = null }));

        // The other way: the line has 102 pA there.
        readings.Add(Begin.AddMinutes(30), 101e-12);
        readings.Add(Begin.AddMinutes(40), 98.9e-12);
        Assert.Equal(new Beam(98.9e-12, 20, 30_000), readings.From(Begin.AddMinutes(45), Stated with { Later = null }));
    }

    /// <summary>
    /// Of seven readings the last six count: 100.5 pA, and then five on the line that falls by 0.5 pA from 99 to 97. The first of them lies 1 pA above
    /// that line, 2.5 steps before the middle of six: it lifts the mean by 1/6 and the slope by -2.5/17.5 a step, so that the end is 97 + 1/6 - 2.5·2.5/17.5.
    /// </summary>
    [Fact]
    public void The_last_six_readings_count()
    {
        var readings = new BeamReadings(100e-12, 0.2);
        double[] read = [102, 100.5, 99, 98.5, 98, 97.5, 97];
        for (int i = 0; i < read.Length; i++)
        {
            readings.Add(Begin.AddMinutes(10 * i), read[i] * 1e-12);
        }

        Beam beam = readings.From(Begin.AddMinutes(60), Stated);
        Assert.Equal((97 + (1 / 6.0) - (2.5 * 2.5 / 17.5)) * 1e-12, beam.CurrentAmperes, 1e-18);
        Assert.Equal(beam.CurrentAmperes - ((0.5 + (2.5 / 17.5)) * 1e-12), beam.Later!.Amperes, 1e-18);
    }

    /// <summary>Three hundredths of the current off the line are drift, more are an adjustment.</summary>
    [Theory]
    [InlineData(-2.99, false)]
    [InlineData(2.99, false)]
    [InlineData(-3.01, true)]
    [InlineData(3.01, true)]
    public void Three_percent_off_the_line_begin_anew(double off, bool isAnew)
    {
        var readings = new BeamReadings(100e-12, 0.2);
        readings.Add(Begin, 102e-12);
        readings.Add(Begin.AddMinutes(10), 101e-12);
        readings.Add(Begin.AddMinutes(20), (100 + off) * 1e-12);
        Assert.Equal(isAnew, readings.From(Begin.AddMinutes(20), Stated with { Later = null }).Later is null);
    }

    /// <summary>From 100 to 97 pA in half an hour: 96 pA after ten minutes more, 94 pA after half an hour, and then no further.</summary>
    [Theory]
    [InlineData(0, 97, 1800, 94)]
    [InlineData(10, 96, 1200, 94)]
    [InlineData(20, 95, 600, 94)]
    [InlineData(30, 94, 0, 0)]
    [InlineData(300, 94, 0, 0)]
    public void Two_readings_go_on_for_as_long_as_they_lie_apart(double minutesLater, double now, double left, double end)
    {
        var readings = new BeamReadings(100e-12, 0.2);
        readings.Add(Begin, 100e-12);
        readings.Add(Begin.AddMinutes(30), 97e-12);
        Beam beam = readings.From(Begin.AddMinutes(30 + minutesLater), Stated);
        Assert.Equal(now * 1e-12, beam.CurrentAmperes, 1e-18);
        Assert.Equal(left > 0 ? left : null, beam.Later?.Seconds);
        Assert.Equal(left > 0 ? end * 1e-12 : 0, beam.Later?.Amperes ?? 0, 1e-18);
    }

    [Fact]
    public void Readings_within_a_minute_tell_of_the_meter()
    {
        var readings = new BeamReadings(100e-12, 0.2);
        readings.Add(Begin, 100e-12);
        readings.Add(Begin.AddSeconds(20), 98e-12);
        Assert.Equal(new Beam(98e-12, 20, 30_000), readings.From(Begin.AddSeconds(25), Stated with { Later = null }));

        // The drift is that between readings that are a minute apart or more.
        readings.Add(Begin.AddSeconds(80), 97e-12);
        Assert.Equal(97e-12, readings.From(Begin.AddSeconds(80), Stated).CurrentAmperes, 1e-20);
        Assert.Equal(96e-12, readings.From(Begin.AddSeconds(140), Stated).CurrentAmperes, 1e-18);
    }

    [Fact]
    public void No_current_leaves_the_limits() =>
        Gen.Select(Gen.Double[81, 119], Gen.Double[81, 119], Gen.Double[1, 7200], Gen.Double[0, 20_000]).Sample((first, second, apart, later) =>
        {
            var readings = new BeamReadings(100e-12, 0.2);
            readings.Add(Begin, first * 1e-12);
            readings.Add(Begin.AddSeconds(apart), second * 1e-12);
            Beam beam = readings.From(Begin.AddSeconds(apart + later), Stated);
            Assert.InRange(beam.CurrentAmperes, 79.999e-12, 120.001e-12);
            Assert.InRange(beam.Later?.Amperes ?? beam.CurrentAmperes, 79.999e-12, 120.001e-12);
        }, iter: Iterations.Usually(100));

    [Theory]
    [InlineData(0.125, "12.5")]
    [InlineData(0.0725, "7.25")]
    [InlineData(0.0123456, "1.235")]
    public void Limits_are_told_as_the_job_has_them(double within, string percent)
    {
        var readings = new BeamReadings(100e-12, within);
        Assert.Contains($": more than {percent} % apart", Assert.Throws<CompileException>(() => readings.Add(Begin, (1 - within - 1e-6) * 100e-12)).Message, StringComparison.Ordinal);
        Assert.Contains($": more than {percent} % apart", Assert.Throws<CompileException>(() => readings.Add(Begin, (1 + within + 1e-6) * 100e-12)).Message, StringComparison.Ordinal);
        readings.Add(Begin, (1 - within + 1e-6) * 100e-12);
        readings.Add(Begin.AddHours(1), (1 + within - 1e-6) * 100e-12);
    }

    [Theory]
    [InlineData(79)]
    [InlineData(121)]
    [InlineData(0)]
    public void A_reading_beyond_the_limits_is_refused(double picoamperes) => Assert.StartsWith(
        $"error PC2212: the current was read as {(picoamperes == 0 ? "0 A" : $"{picoamperes} pA")}, and the machine file has 100 pA: more than 20 % apart",
        Assert.Throws<CompileException>(() => new BeamReadings(100e-12, 0.2).Add(Begin, picoamperes * 1e-12)).Message, StringComparison.Ordinal);
}
