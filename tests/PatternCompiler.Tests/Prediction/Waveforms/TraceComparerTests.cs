using System.Collections.Immutable;
using System.Text;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Waveforms;
using PatternCompiler.Tests.BackEnds;

namespace PatternCompiler.Tests.Prediction.Waveforms;

public sealed class TraceComparerTests
{
    /// <summary>
    /// Squares of 100 µs between codes 1024 and 3072 behind a first-order lag of 5 µs, as exp has it: -5 V + 10 V·(1 − exp(−t/τ)). Seen 3.7 µs late, half
    /// as large, 0.25 V up.
    /// </summary>
    [Theory]
    [InlineData(3.7e-6, 0.5, 0.25)]
    [InlineData(-2.2e-6, -1.02, -3)]
    [InlineData(0, 1, 0)]
    public void Delay_gain_and_offset_are_found(double delay, double gain, double offset)
    {
        ImmutableArray<double> seconds = [.. Enumerable.Range(0, 4000).Select(i => 50e-6 + i * 0.2e-6)];
        var trace = new MeasuredTrace(TraceLine.X, "CH1", seconds, [.. seconds.Select(t => offset + gain * Square(t - delay))]);
        TraceComparison found = new TraceComparer(Course(), "scope.csv", 0).CompareAll([trace]).Comparisons[0];
        Assert.Equal(delay, found.DelaySeconds, 2e-9);
        Assert.Equal(gain, found.Gain, 1e-4);
        Assert.Equal(offset, found.OffsetVolts, 1e-3);
        Assert.InRange(found.RmsVolts, 0, 2e-3);
        Assert.Equal("x", found.Line);
    }

    /// <summary>
    /// A line that jumps from level to level, in far more samples than a search looks at, some of them at the very edges: the delay is known to a part of
    /// the samples' distance.
    /// </summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_line_of_jumps_tells_its_delay_by_its_edges(bool isBlankLine) => Gen.Double[-400e-9, 400e-9].Sample(
        delay =>
        {
            const double Spacing = 50e-9;
            var sampler = new WaveformSampler("a", TraceWindow.OfTime(0, 1), null) { KeepsCourse = true };
            sampler.Begin(Exposures.Header(12));
            DeflectionRecord[] records = [.. Enumerable.Range(0, 200).Select(i => i % 2 == 0 ? DeflectionRecord.Jump(1024, 2000, 30 + i % 7) : DeflectionRecord.Dot(3072, 2000, 40 + i % 5))];
            sampler.Write(records);
            sampler.End();
            sampler.ToWaveforms();
            double[] edges = [.. records.Select((_, i) => records.Take(i + 1).Sum(record => record.Ticks) * 1e-7)];
            ImmutableArray<double> seconds = [.. Enumerable.Range(0, (int)(edges[^1] / Spacing)).Select(i => i * Spacing)];
            int at = 0;
            ImmutableArray<double> volts = [.. seconds.Select(time =>
            {
                while (at < edges.Length - 1 && edges[at] <= time - delay)
                {
                    at++;
                }

                return at % 2 == 0 ? 3.3 : 0.1;
            })];
            TraceComparison found = new TraceComparer(sampler.Course!, "scope.csv", 0).CompareAll([new MeasuredTrace(isBlankLine ? TraceLine.Blank : TraceLine.X, "CH1", seconds, volts)]).Comparisons[0];
            Assert.Equal(delay, found.DelaySeconds, 0.6 * Spacing);

            // Samples that the delay that was found moves over an edge, and those that stand at one to the last digit of a time, are off by the step;
            // four sums of n squares are rounded by n · 2⁻⁵³ of 1.6 V squared each at most.
            (double early, double late) = (Math.Min(delay, found.DelaySeconds) - 1e-12, Math.Max(delay, found.DelaySeconds) + 1e-12);
            int moved = seconds.Sum(time => edges.Count(edge => time - edge > early && time - edge < late));
            Assert.InRange(found.RmsVolts, 0, (3.2 * Math.Sqrt(moved / (double)found.Samples)) + (1.6 * Math.Sqrt(found.Samples * Math.Pow(2, -53) * 4)));
        },
        iter: Iterations.Usually(20));

    /// <summary>The scope's time begins at its trigger, 150 µs after the first record.</summary>
    [Fact]
    public void The_trigger_moves_the_scopes_time()
    {
        ImmutableArray<double> seconds = [.. Enumerable.Range(-400, 2000).Select(i => i * 0.2e-6)];
        var trace = new MeasuredTrace(TraceLine.X, "CH1", seconds, [.. seconds.Select(t => Square(t + 150e-6 - 1e-6))]);
        Assert.Equal(1e-6, new TraceComparer(Course(), "scope.csv", 150e-6).CompareAll([trace]).Comparisons[0].DelaySeconds, 2e-9);
    }

    /// <summary>A line that hangs at 0 V for 30 µs in an otherwise perfect trace: where, for how long, and by how much.</summary>
    [Fact]
    public void The_longest_disagreement_is_told_with_its_place()
    {
        ImmutableArray<double> seconds = [.. Enumerable.Range(0, 4000).Select(i => 50e-6 + i * 0.2e-6)];
        var trace = new MeasuredTrace(TraceLine.X, "CH1", seconds, [.. seconds.Select(t => t is > 330e-6 and < 360e-6 ? 0 : Square(t))]);
        TraceComparison found = new TraceComparer(Course(), "scope.csv", 0).CompareAll([trace]).Comparisons[0];
        Assert.Equal(0, found.DelaySeconds, 1e-7);
        Assert.InRange(found.LongestDisagreementSeconds, 28e-6, 30e-6);
        Assert.InRange(found.DisagreementStartsSeconds, 329e-6, 332e-6);
        Assert.InRange(found.LargestVolts, 4.5, 5.5);
    }

    [Fact]
    public void A_line_that_does_not_move_is_laid_over_and_not_compared()
    {
        ImmutableArray<double> seconds = [.. Enumerable.Range(0, 4000).Select(i => 50e-6 + i * 0.2e-6)];
        var x = new MeasuredTrace(TraceLine.X, "CH1", seconds, [.. seconds.Select(t => Square(t - 1e-6))]);
        var y = new MeasuredTrace(TraceLine.Y, "CH2", seconds, [.. seconds.Select((_, i) => 0.01 * (i % 3))]);
        (ImmutableArray<TraceComparison> comparisons, ImmutableArray<PlacedTrace> placed) = new TraceComparer(Course(), "scope.csv", 0).CompareAll([y, x]);
        Assert.Equal("x", Assert.Single(comparisons).Line);
        Assert.Equal(["y measured: not compared, not expected to move", "x measured: 1 µs late, gain 1, offset 0 V, 0 V rms left"], placed.Select(p => p.Facts.Split(", offset")[0] + (p.Line == TraceLine.X ? ", offset 0 V, 0 V rms left" : "")));
        Assert.Equal(49e-6, placed[0].Pieces[0].From, 1e-8);
    }

    [Theory]
    [InlineData(0.0, 0.2e-6, 0.0, "scope.csv: error PC3032: the trace of CH1 is constant; put the probe on the line, and trigger while it moves")]
    [InlineData(0.0, 60e-6, 1.0, "scope.csv: error PC3032: the trace of CH1 has a sample every 60 us, between which the line moves by more than half of what it moves over all; sample faster, or choose a window in which the line moves slower")]
    [InlineData(1.0, 0.2e-6, 1.0, "scope.csv: error PC3032: the trace of CH1 runs from 1 s to 1 s of the exposure, and the window from 0 s to 1 ms: they have no time in common; say with --trigger where the scope's time 0 lies in the exposure, or choose another window")]
    public void What_tells_nothing_is_refused(double start, double spacing, double size, string expected)
    {
        ImmutableArray<double> seconds = [.. Enumerable.Range(0, 17).Select(i => start + i * spacing)];
        var trace = new MeasuredTrace(TraceLine.X, "CH1", start > 0 ? seconds : [.. seconds.Select(t => t + 98e-6)], [.. seconds.Select(t => size * Square(t + 98e-6))]);
        string message = Assert.Throws<CompileException>(() => new TraceComparer(Course(), "scope.csv", 0).CompareAll([trace])).Message;
        Assert.Equal(expected, message);
    }

    [Fact]
    public void Noise_is_no_trace()
    {
        var random = new Random(1);
        ImmutableArray<double> seconds = [.. Enumerable.Range(0, 4000).Select(i => 50e-6 + i * 0.2e-6)];
        var trace = new MeasuredTrace(TraceLine.X, "CH1", seconds, [.. seconds.Select(_ => random.NextDouble())]);
        Assert.Equal(
            "scope.csv: error PC3032: the trace of CH1 does not look like what is expected, at any delay; check which channel is on which line, and the window",
            Assert.Throws<CompileException>(() => new TraceComparer(Course(), "scope.csv", 0).CompareAll([trace])).Message);
    }

    [Theory]
    [InlineData("Time,x,y\n0,1,2\n1e-6,3,4\n", "", "X:x:1,3|Y:y:2,4", 1e-6)]
    [InlineData("Model,ABC\nSample interval,1e-6\nTime (us),CH1 x (mV)\n0,1000\n1,3000\n", "", "X:CH1 x (mV):1,3", 1e-6)]
    [InlineData("Zeit;CH1;CH2\n(ms);(V);(V)\n0,000;1,5;2,5\n0,001;3,5;4,5\n", "-,blank", "Blank:CH2:2.5,4.5", 1e-6)]
    [InlineData("0\t1\n2\t3\n", "scan", "ScanEnable:channel 1:1,3", 2)]
    [InlineData("time_s,x_V,y_V,blank\r\n0,1,2,0\r\n1,3,4,5\r\n", "", "X:x_V:1,3|Y:y_V:2,4|Blank:blank:0,5", 1)]
    public void Tables_of_scopes_are_read(string text, string channels, string expected, double second)
    {
        ImmutableArray<MeasuredTrace> traces = ReadTable(text, channels);
        Assert.Equal(expected, string.Join('|', traces.Select(trace => string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{trace.Line}:{trace.Name}:{trace.Volts[0]},{trace.Volts[1]}"))));
        Assert.All(traces, trace => Assert.Equal(second, trace.Seconds[1], 1e-12));
    }

    [Theory]
    [InlineData("", "", "t.csv: error PC3031: there is no row of numbers; save time and volts of each channel as a table")]
    [InlineData("time,CH1,CH2\n0,1,2\n", "", "t.csv: error PC3031: no channel of CH1, CH2 is named x, y, blank or scan; say what the columns behind the time are, for example with --channels x,y")]
    [InlineData("time,x\n0,1\n0,2\n", "", "t.csv:3: error PC3031: the time does not go on from the row before; save the table with more digits of the time, or one record alone")]
    [InlineData("time,x\n0,1\n1,2,3\n", "", "t.csv:3: error PC3031: expected 2 numbers as in the first row, found \"1,2,3\"; remove what is no sample")]
    [InlineData("time,x\n0,1\n1,NaN\n", "", "t.csv:3: error PC3031: expected 2 numbers as in the first row, found \"1,NaN\"; remove what is no sample")]
    [InlineData("time,x\n0,1\n", "x,y", "t.csv: error PC3031: 2 channels are named, and the table has 1 behind the time; name them in the order of the columns, with - for one that is none of them")]
    public void Faults_of_tables_name_place_and_remedy(string text, string channels, string expected) =>
        Assert.Equal(expected, Assert.Throws<CompileException>(() => ReadTable(text, channels)).Message);

    private static ImmutableArray<MeasuredTrace> ReadTable(string text, string channels) =>
        MeasuredTraceFile.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "t.csv", channels.Length == 0 ? [] : [.. channels.Split(',')]);

    private static ExpectedCourse Course()
    {
        var sampler = new WaveformSampler("a", TraceWindow.OfTime(0, 1), DefaultFiles.Machine with { Settle = new(0, 5e-6, 0) }) { KeepsCourse = true };
        sampler.Begin(Exposures.Header(12));
        sampler.Write([.. Enumerable.Range(0, 10).Select(i => DeflectionRecord.Dot(i % 2 == 0 ? 1024 : 3072, 2000, 1000))]);
        sampler.End();
        sampler.ToWaveforms();
        return sampler.Course!;
    }

    // 10 V steps every 100 µs from -5 V, settled long before the next one.
    private static double Square(double time)
    {
        int step = (int)Math.Floor(time / 100e-6);
        double from = step <= 0 ? -5 : step % 2 == 0 ? 5 : -5;
        double to = step % 2 == 0 ? -5 : 5;
        return to + (from - to) * Math.Exp(-(time - step * 100e-6) / 5e-6);
    }
}
