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

    [Fact]
    public void One_reading_holds_from_then_on()
    {
        var readings = new BeamReadings(100e-12, 0.2);
        readings.Add(Begin, 97e-12);
        Assert.Equal(new Beam(97e-12, 20, 30_000), readings.From(Begin.AddHours(1), Stated));
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
        Assert.Equal(new Beam(98e-12, 20, 30_000), readings.From(Begin.AddSeconds(25), Stated));

        // The drift is that since the last reading that is a minute back or more.
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
        });

    [Theory]
    [InlineData(79)]
    [InlineData(121)]
    [InlineData(0)]
    public void A_reading_beyond_the_limits_is_refused(double picoamperes) => Assert.StartsWith(
        $"error PC2212: the current was read as {(picoamperes == 0 ? "0 A" : $"{picoamperes} pA")}, and the machine file has 100 pA: more than 20 % apart",
        Assert.Throws<CompileException>(() => new BeamReadings(100e-12, 0.2).Add(Begin, picoamperes * 1e-12)).Message, StringComparison.Ordinal);
}
