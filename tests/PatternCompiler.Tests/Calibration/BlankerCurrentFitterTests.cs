using System.Text;
using CsCheck;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.BlankerCurrent;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Calibration;

/// <summary>Mean currents of a blanker whose delays, edges and leak are known: what they tell comes back, what they do not is said.</summary>
public sealed class BlankerCurrentFitterTests
{
    private static readonly double[] Times = [0.3, 0.5, 0.8, 1.3, 2, 4, 8];
    private const double Long = 20;

    private sealed record Truth(double Current, double Leak, double OnDelay, double OffDelay, double Rise, double Fall)
    {
        public double At(double on, double off, CupDeflection deflection)
        {
            if (on == 0 || off == 0)
            {
                return Current * (on > 0 ? 1 : Leak);
            }

            var beam = new SwitchedBeam(on, off, OnDelay, OffDelay, Rise, Fall);
            (double open, double inCup) = deflection switch
            {
                CupDeflection.Leaves => (beam.MeanWhileOn, on / (on + off)),
                CupDeflection.Enters => (beam.MeanWhileOff, off / (on + off)),
                _ => (beam.Mean, 1.0),
            };
            return Current * (open + Leak * (inCup - open));
        }
    }

    private static readonly Gen<Truth> Truths =
        Gen.Select(Gen.Double[0.05, 0.4], Gen.Double[0.05, 0.4], Gen.Double[0.02, 0.2], Gen.Double[0.02, 0.2], Gen.Double[0, 0.02])
            .Select((onDead, offDead, rise, fall, leak) => new Truth(200, leak, onDead + rise, offDead + fall, rise, fall));

    private static IEnumerable<(double On, double Off, CupDeflection Deflection)> Plan(bool isHeld)
    {
        yield return (1, 0, CupDeflection.Held);
        yield return (0, 1, CupDeflection.Held);
        foreach (double time in Times)
        {
            yield return (time, time, CupDeflection.Held);
            yield return (time, Long, CupDeflection.Held);
            yield return (Long, time, CupDeflection.Held);
            if (!isHeld)
            {
                yield return (time, Long, CupDeflection.Leaves);
                yield return (Long, time, CupDeflection.Enters);
            }
        }
    }

    private static CupReading[] Readings(Truth truth, bool isHeld, Func<double>? noise = null) =>
        [.. Plan(isHeld).Select((row, i) => new CupReading(row.On, row.Off, row.Deflection, truth.At(row.On, row.Off, row.Deflection) + (noise?.Invoke() ?? 0), i))];

    [Fact]
    public void Everything_comes_back_from_exact_readings_with_a_deflection_that_leaves_and_enters() => Truths.Sample(truth =>
    {
        BlankerCurrentFit fit = BlankerCurrentFitter.Fit(Readings(truth, isHeld: false), new DiagnosticSink());
        Assert.Equal(1, fit.Current.Value / truth.Current, 1e-5);
        Assert.Equal(100 * truth.Leak, fit.Leak!.Value, 1e-3);
        Assert.Equal(1, fit.OnDelay!.Value / truth.OnDelay, 1e-3);
        Assert.Equal(1, fit.OffDelay!.Value / truth.OffDelay, 1e-3);
        Assert.Equal(1, fit.Rise!.Value / (truth.Rise * BlankerEdges.TimePerConstant), 1e-2);
        Assert.Equal(1, fit.Fall!.Value / (truth.Fall * BlankerEdges.TimePerConstant), 1e-2);
        Assert.Null(fit.Difference);
    }, iter: Iterations.Usually(12));

    [Fact]
    public void A_beam_that_stays_in_the_cup_tells_the_difference() => Truths.Where(truth => Math.Abs(truth.Rise - truth.Fall) > 0.03).Sample(truth =>
    {
        BlankerCurrentFit fit = BlankerCurrentFitter.Fit(Readings(truth, isHeld: true), new DiagnosticSink());
        Assert.Equal(truth.OffDelay - truth.OnDelay, fit.Difference!.Value, 2e-4);
        Assert.Equal((null, null), (fit.OnDelay, fit.OffDelay));

        // A shift of both edges changes no mean.
        CupReading[] shifted = Readings(truth with { OnDelay = truth.OnDelay + 0.11, OffDelay = truth.OffDelay + 0.11 }, isHeld: true);
        Assert.All(Readings(truth, isHeld: true).Zip(shifted), pair => Assert.Equal(pair.First.Picoamperes, pair.Second.Picoamperes, 1e-9));
    }, iter: Iterations.Usually(12));

    /// <summary>Alike edges answer linearly: at any rate the mean is that of delays, and no edge is made up.</summary>
    [Fact]
    public void Edges_that_are_alike_are_not_told_from_none()
    {
        var truth = new Truth(200, 0.01, 0.3, 0.25, 0.1, 0.1);
        CupReading[] readings = Readings(truth, isHeld: true);
        Assert.All(readings, reading => Assert.Equal(
            truth with { Rise = 0, Fall = 0 } is var sharp ? sharp.At(reading.OnMicroseconds, reading.OffMicroseconds, reading.Deflection) : 0, reading.Picoamperes, 1e-9));
        BlankerCurrentFit fit = BlankerCurrentFitter.Fit(readings, new DiagnosticSink());
        Assert.Equal((null, null), (fit.Rise, fit.Fall));
        Assert.Equal(-0.05, fit.Difference!.Value, 1e-6);
        string text = BlankerCurrentText.Of(fit, null);
        Assert.Contains("# rise and fall times: not told; the shortest time on is 0.3 us", text, StringComparison.Ordinal);
        Assert.Contains("# a beam that stays in the cup tells the difference of the delays alone", text, StringComparison.Ordinal);
        Assert.DoesNotContain("_delay:", text, StringComparison.Ordinal);
        Assert.Contains("  off_delay: 0.2 us\n  on_delay: 0.25 us\n  leak: 1 %\n", BlankerCurrentText.Of(fit, 0.25), StringComparison.Ordinal);
    }

    /// <summary>The fragment is read back as the blanker that was measured.</summary>
    [Fact]
    public void The_fragment_belongs_into_a_machine_file() => Truths.Sample(truth =>
    {
        BlankerCurrentFit fit = BlankerCurrentFitter.Fit(Readings(truth, isHeld: false), new DiagnosticSink());
        string section = BlankerCurrentText.Of(fit, null).Replace("blanker:\n", "blanker:\n  active: high\n", StringComparison.Ordinal);
        Blanker read = MachineFile.Parse(
            "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}\ndeflection: {field: 100 um}\nclock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}\n"
            + "beam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 1 MB/s, buffer: 4 KiB}\n" + section, null).Blanker;
        Assert.Equal(truth.OnDelay, 1e6 * read.OnDelaySeconds, 1e-3);
        Assert.Equal(truth.OffDelay, 1e6 * read.OffDelaySeconds, 1e-3);
        Assert.Equal(truth.Rise * BlankerEdges.TimePerConstant, 1e6 * read.RiseSeconds, 5e-3);
        Assert.Equal(truth.Leak, read.LeakFraction, 1e-4);
    }, iter: Iterations.Usually(6));

    [Fact]
    public void One_direction_tells_one_delay()
    {
        var truth = new Truth(200, 0, 0.3, 0.25, 0.02, 0.02);
        CupReading[] leaving = [.. Readings(truth, isHeld: false).Where(reading => reading.Deflection == CupDeflection.Leaves || reading.IsSteady)];
        BlankerCurrentFit fit = BlankerCurrentFitter.Fit(leaving, new DiagnosticSink());
        Assert.Equal(0.3, fit.OnDelay!.Value, 1e-3);
        Assert.Equal((null, null), (fit.OffDelay, fit.Difference));
        CupReading[] entering = [.. Readings(truth, isHeld: false).Where(reading => reading.Deflection == CupDeflection.Enters || reading.IsSteady)];
        fit = BlankerCurrentFitter.Fit(entering, new DiagnosticSink());
        Assert.Equal(0.25, fit.OffDelay!.Value, 1e-3);
        Assert.Equal((null, null), (fit.OnDelay, fit.Difference));
    }

    [Fact]
    public void A_table_by_frequency_and_duty_is_the_same()
    {
        var truth = new Truth(200, 0.01, 0.3, 0.25, 0.1, 0.02);
        CupReading[] readings = Readings(truth, isHeld: true);
        var text = new StringBuilder("frequency [kHz], duty, current [pA]\n");
        foreach (CupReading reading in readings)
        {
            text.Append(FormattableString.Invariant($"{(reading.IsSteady ? 0 : 1000 / reading.PeriodMicroseconds):R}, {reading.Duty:R}, {reading.Picoamperes:R}\n"));
        }

        BlankerCurrentFit expected = BlankerCurrentFitter.Fit(readings, new DiagnosticSink());
        BlankerCurrentFit fit = BlankerCurrentFitter.Fit(CupReadings.Of(Table(text.ToString())), new DiagnosticSink());
        Assert.Equal(expected.Difference!.Value, fit.Difference!.Value, 1e-6);
        Assert.Equal(expected.Leak!.Value, fit.Leak!.Value, 1e-6);
    }

    [Theory]
    [InlineData("on [us], off [us], current [pA]\n5, 5, 100\n5, 5, 101\n5, 5, 100\n", "error PC4003: the readings tell no delay: the line was switched at one rate alone, or not at all; ")]
    [InlineData("on [us], off [us], current [pA]\n0, 0, 100\n", "t.csv:2: error PC4005: the times of the blank line must be zero or more, and not both zero; ")]
    [InlineData("on [us], off [us], current [pA]\n-1, 2, 100\n", "t.csv:2: error PC4005: the times of the blank line must be zero or more, and not both zero; ")]
    [InlineData("frequency [kHz], duty, current [pA]\n1, 1.5, 100\n", "t.csv:2: error PC4005: the duty is the part of the time with the beam on, from 0 to 1; ")]
    [InlineData("frequency [kHz], duty, current [pA]\n0, 0.5, 100\n", "t.csv:2: error PC4005: a line that is switched has a frequency above zero; ")]
    [InlineData("on [us], off [us], deflection, current [pA]\n1, 2, gone, 100\n", "t.csv:2: error PC4005: 'gone' is no deflection: it is held, leaves or enters; ")]
    [InlineData("on [us], off [us], deflection, current [pA]\n1, 0, leaves, 100\n", "t.csv:2: error PC4005: a line that does not switch goes with a deflection that is held; ")]
    [InlineData("on [us], off [us], deflection, current [pA]\n1, , held, 100\n", "t.csv:2: error PC4001: the column 'off' is empty; ")]
    [InlineData("on [us], off [us], current [pA]\n5, 5, 0\n50, 5, 0\n", "error PC4003: all currents are zero; ")]
    [InlineData("on [us], off [us], current [pA]\n5, 5, -100\n50, 5, -180\n5, 50, -18\n9, 9, -100\n", "error PC4073: the current falls the longer the beam is on; ")]
    public void What_cannot_be_is_refused(string text, string expected)
    {
        CompileException fault = Assert.Throws<CompileException>(() => BlankerCurrentFitter.Fit(CupReadings.Of(Table(text)), new DiagnosticSink()));
        Assert.StartsWith(expected, fault.Diagnostic.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void One_part_of_the_time_does_not_tell_the_leak()
    {
        var sink = new DiagnosticSink();
        var truth = new Truth(200, 0, 0.3, 0.1, 0, 0);
        BlankerCurrentFit fit = BlankerCurrentFitter.Fit([.. Times.Select((time, i) => new CupReading(time, time, CupDeflection.Held, truth.At(time, time, CupDeflection.Held), i))], sink);
        Assert.Equal(-0.2, fit.Difference!.Value, 1e-6);
        Assert.Null(fit.Leak);
        Assert.StartsWith("warning PC4052: the readings do not tell a leak from a smaller current: it is taken to be none; ", Assert.Single(sink.Collected).ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Huge_numbers_end_soon()
    {
        foreach (string row in (string[])["1e200, 1e-200, 1e150", "1e-200, 1e200, 1", "1e9, 1e-9, 5"])
        {
            try
            {
                BlankerCurrentFit fit = BlankerCurrentFitter.Fit(CupReadings.Of(Table($"on [us], off [us], current [pA]\n1, 1, 100\n2, 2, 101\n3, 1, 150\n{row}\n")), new DiagnosticSink());
                Assert.True(double.IsFinite(fit.Current.Value));
            }
            catch (CompileException)
            {
                // An error that says so is as good.
            }
        }
    }

    private static MeasurementTable Table(string text) => MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "t.csv", [.. CupReadings.WordColumns]);

    /// <summary>An edge stands in the section as far as its delay allows: 2.1972 (ln 9) times as long from 10 to 90 %, rounded down to what the file states.</summary>
    [Theory]
    [InlineData(0.5, 0.3, "  rise_time: 0.5 us", "  fall_time: 0.3 us")]
    [InlineData(0.878, 0.6591, "  rise_time: 0.878 us", "  fall_time: 0.6591 us")]
    [InlineData(0.88, 0.6595, "  rise_time: 0.8788 us  # the longest that on_delay allows; 0.88 us were fitted", "  fall_time: 0.6591 us  # the longest that off_delay allows; 0.6595 us were fitted")]
    public void Edges_are_no_longer_than_their_delays_allow(double rise, double fall, string riseLine, string fallLine)
    {
        BlankerCurrentFit fit = new(Parameter("current", 100))
        {
            OnDelay = Parameter("on_delay", 0.4), OffDelay = Parameter("off_delay", 0.3), Rise = Parameter("rise_time", rise), Fall = Parameter("fall_time", fall),
        };
        string[] lines = BlankerCurrentText.Of(fit, null).Split('\n');
        Assert.Equal(["blanker:", "  off_delay: 0.3 us", "  on_delay: 0.4 us", riseLine, fallLine, ""], lines[Array.IndexOf(lines, "blanker:")..]);
    }

    /// <summary>A delay below zero allows no edge, and one that is not told leaves its edge a note.</summary>
    [Fact]
    public void Edges_without_a_delay_are_notes_or_nothing()
    {
        BlankerCurrentFit fit = new(Parameter("current", 100)) { OnDelay = Parameter("on_delay", -0.1), OffDelay = Parameter("off_delay", 0.3), Rise = Parameter("rise_time", 0.2), Fall = null };
        string text = BlankerCurrentText.Of(fit, null);
        Assert.EndsWith(
            "blanker:\n  off_delay: 0.3 us\n  # on_delay: -0.1 us is below zero and cannot be stated; compare the delay of the deflection\n"
            + "  rise_time: 0 us  # the longest that on_delay allows; 0.2 us were fitted\n",
            text,
            StringComparison.Ordinal);
        fit = new(Parameter("current", 100)) { Difference = Parameter("difference", -0.1), Rise = Parameter("rise_time", 0.2), Fall = Parameter("fall_time", 0.1) };
        Assert.EndsWith(
            "# blanker:\n  # rise_time: 0.2 us  # with the delay, once that is known\n  # fall_time: 0.1 us  # with the delay, once that is known\n",
            BlankerCurrentText.Of(fit, null),
            StringComparison.Ordinal);
        Assert.EndsWith(
            "\nblanker:\n  off_delay: 0.2 us\n  on_delay: 0.3 us\n  rise_time: 0.2 us\n  fall_time: 0.1 us\n",
            BlankerCurrentText.Of(fit, 0.3),
            StringComparison.Ordinal);
    }

    private static FitParameter Parameter(string name, double value) => new(name, "us", value, double.NaN, double.NaN, double.NaN);
}
