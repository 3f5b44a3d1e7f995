using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Mains;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Tests.Calibration.Mains;

/// <summary>Hum from displacements: exact tables come back exactly, and tables that cannot tell are refused.</summary>
public sealed class HumFitterTests
{
    [Theory]
    [InlineData(50, 1e-3)]
    [InlineData(60, 0.7e-3)]
    [InlineData(49.7, 1.9e-3)]
    public void Exact_waves_come_back(double hertz, double step)
    {
        double[] times = Times(120, step);
        HumFit fit = HumFitter.Fit(
            HumRows.Of(times, new int[120], ("x", [.. times.Select(t => X(t, hertz))]), ("y", [.. times.Select(t => 9 * Math.Cos(Math.Tau * hertz * t))])), hertz, 3, false, new DiagnosticSink());
        Assert.Equal([20, 4, 1.5], fit.Axes[0].Waves.Select(wave => wave.Amplitude.Value), Within(1e-6));
        Assert.Equal([30, -100, 175], fit.Axes[0].Waves.Select(wave => wave.Phase.Value), Within(1e-4));
        Assert.Equal((9.0, 90.0), (fit.Axes[1].Waves[0].Amplitude.Value, fit.Axes[1].Waves[0].Phase.Value), (a, b) => Math.Abs(a.Item1 - b.Item1) + Math.Abs(a.Item2 - b.Item2) < 1e-6);
        Assert.False(fit.IsFrequencyFitted);
    }

    /// <summary>The same moments in any unit, and as places along lines written at 2 um/ms.</summary>
    [Theory]
    [InlineData("time [ms]", 1, null)]
    [InlineData("time [us]", 1000, null)]
    [InlineData("time [s]", 0.001, null)]
    [InlineData("position [um]", 2, 2e6)]
    [InlineData("position [nm]", 2000, 2e6)]
    [InlineData("position [mm]", 0.002, 2e6)]
    public void Times_are_read_in_any_unit(string column, double perMillisecond, double? nanometresPerSecond)
    {
        double[] milliseconds = [0, 3, 7.5, 1, 4];
        string text = string.Create(System.Globalization.CultureInfo.InvariantCulture, $"line, {column}, y [um], x [nm]\n")
            + string.Concat(milliseconds.Select((t, i) => string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{(i < 3 ? 9 : 2)}, {t * perMillisecond}, {i}, {i + 7}\n")));
        HumRows rows = HumRows.Of(MeasurementTable.Read(new MemoryStream(System.Text.Encoding.UTF8.GetBytes(text)), "t"), nanometresPerSecond);
        Assert.Equal([0, 3e-3, 7.5e-3, 1e-3, 4e-3], rows.Seconds, Within(1e-12));
        Assert.Equal([1, 1, 1, 0, 0], rows.LineOf);
        Assert.Equal(["x", "y"], rows.Axes.Select(axis => axis.Name));
        Assert.Equal([7, 8, 9, 10, 11, 0, 1000, 2000, 3000, 4000], rows.Stacked, Within(1e-9));
        Assert.Equal((2, 5, 7.5e-3, 7.5e-3), (rows.Lines, rows.Count, rows.SpanSeconds, rows.LongestSeconds));

        // Steps of 3, 4.5 and 3 ms; line 2 lasts from 1 to 4 ms, line 9 from 0 to 7.5 ms.
        Assert.Equal(3e-3, rows.UsualStepSeconds, 1e-12);
        Assert.Equal([-1, -0.2, 1, -1, 1], Enumerable.Range(0, 5).Select(rows.Along), Within(1e-9));
    }

    /// <summary>
    /// Over many whole periods sines, cosines, offset and drift are all but independent: with a scatter s of n displacements the standard error
    /// of an amplitude is s·√(2/n), of its phase that over the amplitude (D. C. Rife, R. R. Boorstyn, IEEE Trans. Inf. Theory 20, 591 (1974)).
    /// </summary>
    [Fact]
    public void Errors_of_waves_are_those_of_their_scatter()
    {
        const int Rows = 4000;
        double[] times = Times(Rows, 1e-3);
        double[] away = [.. Enumerable.Range(0, Rows).Select(i => (i * 7919 % 4001 - 2000) / 500.0)];
        HumFit fit = HumFitter.Fit(HumRows.Of(times, new int[Rows], ("y", [.. times.Select((t, i) => X(t, 50) + away[i])])), 50, 3, false, new DiagnosticSink());
        Assert.Equal(Math.Sqrt(away.Average(a => a * a)), fit.RootMeanSquareNanometres, 0.01);
        double error = fit.RootMeanSquareNanometres * Math.Sqrt(2.0 / Rows);
        Assert.All(fit.Axes[0].Waves, wave =>
        {
            Assert.Equal(error, wave.Amplitude.StandardError, 0.01 * error);
            double phase = error / wave.Amplitude.Value * 180 / Math.PI;
            Assert.Equal(phase, wave.Phase.StandardError, 0.01 * phase);

            // Student's t for thousands of spare rows is 1.960 (any handbook's table).
            Assert.Equal(1.960 * wave.Amplitude.StandardError, wave.Amplitude.High - wave.Amplitude.Value, 0.01 * error);
            Assert.Equal(1.960 * wave.Phase.StandardError, wave.Phase.Value - wave.Phase.Low, 0.01 * phase);
        });
        Assert.Equal(["y-amplitude-1f", "y-amplitude-2f", "y-amplitude-3f"], fit.Axes[0].Waves.Select(wave => wave.Amplitude.Name));
        Assert.Equal(["y-phase-1f", "y-phase-2f", "y-phase-3f"], fit.Axes[0].Waves.Select(wave => wave.Phase.Name));
        Assert.Equal(20 * Math.Sin(30 * Math.PI / 180) - 4 * Math.Sin(100 * Math.PI / 180) + 1.5 * Math.Sin(175 * Math.PI / 180), fit.Axes[0].At(0, 50), 0.3);
        Assert.Equal(X(0.003, 50) - 100 + 0.9, fit.Axes[0].At(0.003, 50), 0.3);
    }

    /// <summary>An amplitude that may be none has no phase.</summary>
    [Fact]
    public void A_wave_that_may_be_none_begins_at_none_and_has_any_phase()
    {
        double[] times = Times(200, 1.3e-3);
        HumFit fit = HumFitter.Fit(HumRows.Of(times, new int[200], ("x", [.. times.Select((t, i) => 20 * Math.Sin(Math.Tau * 50 * t) + (i * 37 % 11 - 5))])), 50, 2, false, new DiagnosticSink());
        HumWaveFit none = fit.Axes[0].Waves[1];
        Assert.Equal(0, none.Amplitude.Low);
        Assert.True(none.Amplitude.High > none.Amplitude.Value && none.Amplitude.Value > 0);
        Assert.Equal((double.NegativeInfinity, double.PositiveInfinity, double.PositiveInfinity), (none.Phase.Low, none.Phase.High, none.Phase.StandardError));
        Assert.True(fit.Axes[0].Waves[0].Phase is { Low: > -10, High: < 10 });
    }

    /// <summary>One period is enough, and of the frequency up to a fiftieth is searched.</summary>
    [Fact]
    public void The_ends_of_what_is_fitted_belong_to_it()
    {
        double[] period = Times(41, 0.5e-3);
        double[] Wave(double[] times, double hertz) => [.. times.Select((t, i) => 20 * Math.Sin(Math.Tau * hertz * t + 1) + 0.001 * (i * 37 % 11 - 5))];
        Assert.Equal(20, HumFitter.Fit(HumRows.Of(period, new int[41], ("x", Wave(period, 50))), 50, 1, false, new DiagnosticSink()).Axes[0].Waves[0].Amplitude.Value, 0.1);
        Assert.StartsWith(
            "error PC4003: the rows cover 19.5 ms, less than the period of 20 ms: ",
            Assert.Throws<CompileException>(() => HumFitter.Fit(HumRows.Of(period[..40], new int[40], ("x", Wave(period[..40], 50))), 50, 1, false, new DiagnosticSink())).Message,
            StringComparison.Ordinal);
        double[] times = Times(300, 1.3e-3);
        foreach (double hertz in (double[])[49.02, 50.98])
        {
            HumFit fit = HumFitter.Fit(HumRows.Of(times, new int[300], ("y", Wave(times, hertz))), 50, 1, true, new DiagnosticSink());
            Assert.Equal(hertz, fit.Frequency.Value, 1e-3);
            Assert.Equal(57.2958, fit.Axes[0].Waves[0].Phase.Value, 0.05);
        }

        double[] other = Times(60, 1.3e-3);
        Assert.StartsWith(
            "error PC4007: no frequency within 2 % of 50 Hz fits the displacements better than those beside it; ",
            Assert.Throws<CompileException>(() => HumFitter.Fit(HumRows.Of(other, new int[60], ("y", Wave(other, 53.5))), 50, 1, true, new DiagnosticSink())).Message,
            StringComparison.Ordinal);
        double[] far = [.. Times(20, 1.3e-3), .. Times(20, 1.3e-3).Select(t => t + 300)];
        Assert.StartsWith(
            "error PC4003: the rows cover 5 min 00 s, over which the mains does not keep one phase, so that no frequency is looked for; ",
            Assert.Throws<CompileException>(() => HumFitter.Fit(HumRows.Of(far, new int[40], ("x", Wave(far, 50))), 50, 1, true, new DiagnosticSink())).Message,
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(new[] { 30, 30, 2 }, "error PC4003: line 3 of 3 in rising order has 2 rows, which its offset and drift explain by themselves; leave the line out, or measure more of it")]
    [InlineData(new[] { 30, 1, 30 }, "error PC4003: line 2 of 3 in rising order has 1 row, which its offset and drift explain by themselves; leave the line out, or measure more of it")]
    [InlineData(new[] { 3, 30, 3 }, null)]
    public void A_line_of_fewer_than_three_rows_tells_nothing(int[] rows, string? expected)
    {
        double[] times = [.. rows.SelectMany(count => Times(count, 1.3e-3))];
        int[] lines = [.. rows.SelectMany((count, line) => Enumerable.Repeat(line, count))];
        Assert.Equal(expected, Record.Exception(() => HumFitter.Fit(HumRows.Of(times, lines, ("x", [.. times.Select(t => X(t, 50))])), 50, 3, false, new DiagnosticSink()))?.Message);
    }

    /// <summary>Rows of all axes by columns of all axes, an offset, a drift, a sine and a cosine each, are 4,000,000 numbers at most.</summary>
    [Theory]
    [InlineData(20_001, 1, 1, 99, "the table has 20001 rows of 1 line, more than are fitted together")]
    [InlineData(5001, 2, 1, 99, "the table has 5001 rows of 1 line, more than are fitted together")]
    [InlineData(20_001, 1, 97, 3, "the table has 20001 rows of 97 lines, more than are fitted together")]
    public void Tables_too_large_to_be_fitted_are_refused(int rows, int axes, int lines, int harmonics, string expected)
    {
        double[] times = Times(rows, 1.3e-3);
        (string, double[])[] columns = [.. new[] { "x", "y" }.Take(axes).Select(axis => (axis, times))];
        Assert.Equal(
            expected,
            Assert.Throws<CompileException>(() => HumFitter.Fit(HumRows.Of(times, [.. times.Select((_, i) => i % lines)], columns), 50, harmonics, false, new DiagnosticSink())).Diagnostic.Message);
    }

    [Fact]
    public void The_frequency_comes_back()
    {
        double[] times = Times(200, 1.3e-3);
        HumFit fit = HumFitter.Fit(HumRows.Of(times, new int[200], ("x", [.. times.Select((t, i) => X(t, 50.2) + 0.01 * (i * 37 % 11 - 5))])), 50, 3, true, new DiagnosticSink());
        Assert.Equal(50.2, fit.Frequency.Value, 0.01);
        Assert.True(fit.IsFrequencyFitted && fit.Frequency.Low < 50.2 && fit.Frequency.High > 50.2);
    }

    /// <summary>Each line has its own offset and drift; the waves are shared, for every line began at an edge.</summary>
    [Fact]
    public void Lines_differ_in_offset_and_drift()
    {
        double[] times = [.. Times(60, 1e-3), .. Times(60, 1e-3)];
        int[] lines = [.. times.Select((_, i) => i / 60)];
        HumFit fit = HumFitter.Fit(HumRows.Of(times, lines, ("x", [.. times.Select((t, i) => X(t, 50) + (1000 - 3000 * t) * lines[i])])), 50, 3, false, new DiagnosticSink());
        Assert.Equal([20, 4, 1.5], fit.Axes[0].Waves.Select(wave => wave.Amplitude.Value), Within(1e-6));
        Assert.Equal(2, fit.Lines);
    }

    [Theory]
    [InlineData(10, 1e-3, "error PC4003: the rows cover 9 ms, less than the period of 20 ms: a part of a wave cannot be told from a drift; write or image more slowly, or a longer edge; some periods are best")]
    [InlineData(40, 20e-3, "error PC4080: the rows come every 20 ms, 1 period of 50 Hz: each of them sees the same phase of it; let the rows not be synchronous with the mains (scan without line synchronisation, choose another time per row), or fit fewer multiples with --harmonics")]
    [InlineData(40, 40e-3, "error PC4080: the rows come every 40 ms, 2 periods of 50 Hz: each of them sees the same phase of it; let the rows not be synchronous with the mains (scan without line synchronisation, choose another time per row), or fit fewer multiples with --harmonics")]
    [InlineData(40, 10e-3, "error PC4080: the rows come every 10 ms, 1 period of 100 Hz: each of them sees the same phase of it; let the rows not be synchronous with the mains (scan without line synchronisation, choose another time per row), or fit fewer multiples with --harmonics")]
    [InlineData(40, 4e-3, "error PC4080: the times of the rows do not tell the multiples of the mains frequency from one another, an offset and a drift; let the rows not be synchronous with the mains (scan without line synchronisation, choose another time per row), or fit fewer multiples with --harmonics")]
    [InlineData(5, 9e-3, "error PC4002: 5 measurements cannot determine 8 parameters; measure at least 9 points or fit a simpler model")]
    public void Tables_that_cannot_tell_are_refused(int rows, double step, string expected)
    {
        double[] times = Times(rows, step);
        Assert.Equal(expected, Assert.Throws<CompileException>(() => HumFitter.Fit(HumRows.Of(times, new int[rows], ("x", [.. times.Select(t => X(t, 50))])), 50, 3, false, new DiagnosticSink())).Message);
    }

    /// <summary>
    /// Rows at the crests of a wave show its sine and not its cosine, those at its zeros the other way round; spread a little about them they
    /// show both, the worse one with 1/(2·mean square) times the variance of even ones, of which 25 is allowed.
    /// </summary>
    [Theory]
    [InlineData(1, 0.25, 0.02, false)]
    [InlineData(1, 0.25, 0.025, true)]
    [InlineData(1, 0, 0.02, false)]
    [InlineData(1, 0, 0.025, true)]
    [InlineData(2, 0.25, 0.02, false)]
    [InlineData(2, 0.25, 0.025, true)]
    [InlineData(2, 0, 0.02, false)]
    [InlineData(2, 0, 0.025, true)]
    public void A_sine_without_its_cosine_is_not_enough(int harmonic, double phase, double spread, bool isTold)
    {
        // Half a turn of the multiple from row to row; remainders of 11 from -5 to 5 have a mean square of 10.
        double[] times = [.. Enumerable.Range(0, 220).Select(i => (phase + 0.5 * i + spread * (i * 37 % 11 - 5) / Math.Sqrt(10)) / harmonic / 50)];
        HumRows rows = HumRows.Of(times, new int[220], ("x", [.. times.Select(t => 7 * Math.Sin(Math.Tau * 50 * harmonic * t + 1))]));
        string? fault = Record.Exception(() => HumFitter.Fit(rows, 50, harmonic, false, new DiagnosticSink()))?.Message;
        Assert.Equal(isTold, fault is null);
        Assert.True(isTold || fault!.StartsWith("error PC4080: the times of the rows do not tell ", StringComparison.Ordinal), fault);
    }

    // With rows every 4 ms, five a period, f alone and 2f can be told.
    [Fact]
    public void Fewer_multiples_may_be_told()
    {
        double[] times = Times(40, 4e-3);
        HumFit fit = HumFitter.Fit(HumRows.Of(times, new int[40], ("y", [.. times.Select(t => 7 * Math.Sin(Math.Tau * 50 * t + 1))])), 50, 2, false, new DiagnosticSink());
        Assert.Equal([7, 0], fit.Axes[0].Waves.Select(wave => wave.Amplitude.Value), Within(1e-6));
    }

    [Fact]
    public void The_fragment_is_a_section_of_the_machine_file()
    {
        double[] times = Times(120, 1e-3);
        string text = HumText.Of(HumFitter.Fit(HumRows.Of(times, new int[120], ("x", [.. times.Select((t, i) => X(t, 50) + 0.1 * (i * 37 % 11 - 5))])), 50, 2, false, new DiagnosticSink()));
        Assert.StartsWith("# hum: 120 rows of 1 line over 119 ms, rms residual ", text, StringComparison.Ordinal);
        Assert.Contains("\nhum:\n  frequency: 50 Hz\n  x: [", text, StringComparison.Ordinal);
        string machine = "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}\ndeflection: {field: 100 um}\nclock: {rate: 1 MHz, shortest_dwell: 2 ticks, longest_dwell: 1000 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 1 MB/s, buffer: 4 KiB}\n";
        PatternCompiler.Instrument.Hum read = PatternCompiler.Jobs.MachineFile.Parse(machine + text, null).Hum!;
        Assert.Equal(20, read.X[0].Nanometres, 0.3);
        Assert.Equal(30, read.X[0].Degrees, 1.0);
    }

    private static double X(double t, double hertz) =>
        100 - 300 * t + 20 * Math.Sin(Math.Tau * hertz * t + 30 * Math.PI / 180) + 4 * Math.Sin(2 * Math.Tau * hertz * t - 100 * Math.PI / 180) + 1.5 * Math.Sin(3 * Math.Tau * hertz * t + 175 * Math.PI / 180);

    private static double[] Times(int count, double step) => [.. Enumerable.Range(0, count).Select(i => i * step)];

    private static Func<double, double, bool> Within(double most) => (a, b) => Math.Abs(a - b) <= most;
}
