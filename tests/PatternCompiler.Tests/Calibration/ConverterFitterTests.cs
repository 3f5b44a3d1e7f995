using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Converters;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Calibration;

public sealed class ConverterFitterTests
{
    private const double Step = 20.0 / 65536;
    private static readonly ConverterTables Plain = new();

    [Fact]
    public void Exact_readings_give_the_exact_outputs()
    {
        var sink = new DiagnosticSink();
        ConverterFit fit = ConverterTables.Fit(Plain.Text(), sink);
        Assert.Empty(sink.Collected);
        Assert.Equal(6e-4, fit.X.Crosstalk!.Value, 1e-9);
        Assert.Equal(-3e-4, fit.Y.Crosstalk!.Value, 1e-9);
        Assert.Equal((new CodeRange(0, 65535), false, false), (fit.X.Usable, fit.X.Clips.Low, fit.X.Clips.High));
        foreach ((OutputFit output, char axis) in new[] { (fit.X, 'x'), (fit.Y, 'y') })
        {
            foreach (OutputLevel level in output.Levels)
            {
                Assert.Equal((Plain.Own(axis, level.Code) + 10) / Step - level.Code, level.DeviationSteps, 1e-3);
                Assert.Equal(2, level.Readings);
            }
        }
    }

    /// <summary>
    /// Converters of few bits, where a step is coarse and crosstalk moves an output by many: levels, crosstalk and the line are exact, and
    /// the middle of the range, from which crosstalk counts, is half of all codes or half of the last one.
    /// </summary>
    [Theory]
    [InlineData(4, DacFullScale.OneBeyondLastCode, 0.2, 0)]
    [InlineData(4, DacFullScale.OneBeyondLastCode, 0, -0.1)]
    [InlineData(4, DacFullScale.LastCode, 0.2, 0)]
    [InlineData(4, DacFullScale.LastCode, 0, -0.1)]
    [InlineData(8, DacFullScale.OneBeyondLastCode, 0.2, 0)]
    [InlineData(8, DacFullScale.OneBeyondLastCode, 0, -0.1)]
    [InlineData(8, DacFullScale.LastCode, 0.2, 0)]
    [InlineData(8, DacFullScale.LastCode, 0, -0.1)]
    public void Coarse_converters_are_told_exactly(int bits, DacFullScale fullScale, double xFromY, double yFromX)
    {
        var dac = new Dac(bits, -10, 10, DacCoding.OffsetBinary, fullScale);
        double middle = (fullScale == DacFullScale.LastCode ? dac.CodeCount - 1 : dac.CodeCount) / 2.0;
        var sink = new DiagnosticSink();
        foreach (bool isFromPlaces in (bool[])[false, true])
        {
            ConverterFit fit = ConverterFitter.Fit(CoarseReadings(dac, middle, xFromY, yFromX), dac, isFromPlaces, row => default, sink);
            Assert.Empty(sink.Collected);
            foreach ((OutputFit output, double gain, double offset, double crosstalk) in new[] { (fit.X, 1.02, 0.75, xFromY), (fit.Y, 0.97, -0.5, yFromX) })
            {
                Assert.Equal(crosstalk, output.Crosstalk!.Value, 1e-9);
                Assert.Equal(100 * (gain - 1), output.GainError.Value, 1e-9);
                Assert.Equal(1000 * offset * dac.LsbVolts, output.Offset.Value, 1e-9);
                Assert.Equal(new CodeRange(0, dac.CodeCount - 1), output.Usable);
                Assert.All(output.Levels, level => Assert.Equal(isFromPlaces ? 0 : (gain - 1) * (level.Code - middle) + offset, level.DeviationSteps, 1e-9));
            }
        }
    }

    /// <summary>Where nothing is known of the readings' error, less than a carry of one step is missing of an output that is followed.</summary>
    [Theory]
    [InlineData(0.9, 255)]
    [InlineData(1.1, 221)]
    public void What_is_missing_at_an_end_is_a_step_at_most(double missing, int highest)
    {
        var dac = new Dac(8, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode);
        var readings = new List<ConverterReading>();
        foreach (char axis in "xy")
        {
            for (int code = 0; code <= 255; code += 17)
            {
                readings.Add(new(readings.Count, axis, code, 0, code - (axis == 'x' && code == 255 ? missing : 0), double.NaN));
            }
        }

        // One code of the table more is given up: the output may leave its line anywhere between two.
        OutputFit fit = ConverterFitter.Fit(readings, dac, false, row => default, new DiagnosticSink()).X;
        Assert.Equal(highest, fit.Usable.Highest);
    }

    /// <summary>Four codes of each output with the other at either end: 1.02 and 0.97 steps a code, off by 0.75 and -0.5.</summary>
    private static List<ConverterReading> CoarseReadings(Dac dac, double middle, double xFromY, double yFromX)
    {
        double Own(char axis, int code) => axis == 'x' ? 1.02 * (code - middle) + 0.75 : 0.97 * (code - middle) - 0.5;
        var readings = new List<ConverterReading>();
        int last = dac.CodeCount - 1;
        foreach (char axis in "xy")
        {
            foreach (int code in (int[])[0, last / 3, 2 * last / 3, last])
            {
                foreach (int other in (int[])[0, last])
                {
                    double steps = middle + Own(axis, code) + (axis == 'x' ? xFromY * Own('y', other) : yFromX * Own('x', other));
                    readings.Add(new(readings.Count, axis, code, other, steps, double.NaN));
                }
            }
        }

        return readings;
    }

    /// <summary>Each output is read at codes most of which are below its middle, with the other at codes that are not read themselves: where it is then follows from its line.</summary>
    [Fact]
    public void The_other_output_may_stand_where_it_is_not_read()
    {
        ConverterTables truth = Plain with { CarrySteps = 0, OffsetX = 0.3, OffsetY = -0.2, XFromY = 6e-3, YFromX = -3e-3 };
        string Rows(char axis, int first, int step, int[] others) => string.Concat(Enumerable.Range(0, 9).Select(i => first + (step * i)).Append(0).Append(65_535).SelectMany(code => others.Select(other =>
            FormattableString.Invariant($"{axis}, {code}, {other}, {truth.Volts(axis, code, other):R}\n"))));
        ConverterFit fit = ConverterTables.Fit("axis, code, other, volts [V]\n" + Rows('x', 500, 3100, [1111, 40_404]) + Rows('y', 700, 2900, [2222, 52_525]));
        Assert.Equal(6e-3, fit.X.Crosstalk!.Value, 1e-6);
        Assert.Equal(-3e-3, fit.Y.Crosstalk!.Value, 1e-6);
        Assert.All(fit.X.Levels, level => Assert.Equal((truth.Own('x', level.Code) + 10) / Step - level.Code, level.DeviationSteps, 0.5));
        Assert.All(fit.Y.Levels, level => Assert.Equal((truth.Own('y', level.Code) + 10) / Step - level.Code, level.DeviationSteps, 0.5));
    }

    /// <summary>Without a carry the line through all codes is the amplifier's: its gain, and its offset at the middle code, where the converter gives 0 V.</summary>
    [Fact]
    public void Gain_and_offset_are_those_of_the_line()
    {
        ConverterFit fit = ConverterTables.Fit((Plain with { CarrySteps = 0 }).Text());
        Assert.Equal(0.4, fit.X.GainError.Value, 1e-6);
        Assert.Equal(-0.3, fit.Y.GainError.Value, 1e-6);
        Assert.Equal(12.5, fit.X.Offset.Value, 1e-3);
        Assert.Equal(-4, fit.Y.Offset.Value, 1e-3);
        Assert.Equal(0, fit.X.LargestNonlinearity.Steps, 1e-3);
    }

    /// <summary>What is printed, pasted into a machine file, makes codes whose outputs are what is asked for, to half a step and the rounding of the table.</summary>
    [Theory]
    [InlineData(3)]
    [InlineData(-6)]
    public void The_fragment_makes_voltages_right(double carry)
    {
        ConverterTables tables = Plain with { CarrySteps = carry, Ends = (-9.7, 9.6) };
        string fragment = ConverterText.Of(ConverterTables.Fit(tables.Text()), ConverterTables.Dac);
        Machine machine = MachineFile.Parse(
            "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}\n" + fragment + "  field: 100 um\n"
            + "clock: {rate: 10 MHz, shortest_dwell: 5 ticks, longest_dwell: 65535 ticks}\nblanker: none\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 1 MB/s, buffer: 64 KiB}\n",
            null);
        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        for (int i = 0; i < 400; i++)
        {
            (double wantedX, double wantedY) = (-8.5 + 17 * i / 400.0, -8.5 + 17 * (i * 37 % 400) / 400.0);
            (double realX, double realY) = mapping.CodesAt((long)(wantedX * 5e9), (long)(wantedY * 5e9));
            Assert.True(mapping.Reaches(realX, realY));
            (int x, int y) = ((int)DacMapping.Nearest(realX), (int)DacMapping.Nearest(realY));
            Assert.InRange(Math.Abs(tables.Volts('x', x, y) - wantedX), 0, 0.52 * Step * (x is 32767 or 32768 ? Math.Max(1, 1 + carry) : 1));
            Assert.InRange(Math.Abs(tables.Volts('y', y, x) - wantedY), 0, 0.52 * Step * (y is 32767 or 32768 ? Math.Max(1, 1 + carry) : 1));
        }
    }

    /// <summary>With 15 carries, codes stand 1024 apart before the ends, where amplifiers clip.</summary>
    [Theory]
    [InlineData(-20, 20, 0, 65535, false, false)]
    [InlineData(-9.5, 20, 3072, 65535, true, false)]
    [InlineData(-20, 9.5, 0, 62463, false, true)]
    [InlineData(-9.9, 9.9, 2048, 63487, true, true)]
    public void Ends_are_given_up_where_the_amplifier_clips(double low, double high, int lowest, int highest, bool clipsLow, bool clipsHigh)
    {
        OutputFit fit = ConverterTables.Fit((Plain with { Ends = (low, high), GainX = 1, OffsetX = 0 }).Text()).X;
        Assert.Equal((new CodeRange(lowest, highest), (clipsLow, clipsHigh)), (fit.Usable, fit.Clips));
        Assert.Equal((lowest, highest), (fit.Levels[0].Code, fit.Levels[^1].Code));
    }

    /// <summary>Wherever an amplifier clips, no code is called usable that it does not follow, and the last one that it follows lies at most two codes of the table further.</summary>
    [Fact]
    public void No_code_beyond_an_end_is_usable()
    {
        int[] codes = [.. PatternCompiler.Generate.ConverterHolds.Plan(ConverterTables.Dac, 4).Select(hold => hold.Code).Distinct().Where(code => code % 4096 != 0 || code == 0).Order()];
        for (double end = 7.77; end < 10.2; end += 0.0613)
        {
            var tables = Plain with { Ends = (-20, end), GainX = 1, OffsetX = 0, CarrySteps = 0 };
            int highest = ConverterTables.Fit(tables.Text()).X.Usable.Highest;
            double follows = Math.Min(65535, (end + 10) / Step);
            Assert.InRange(highest, 0, follows);
            Assert.True(codes.Count(code => code > highest && code <= follows) <= 2, $"{end} V: {highest} of {follows}");
        }
    }

    /// <summary>A tenth of the readings of an output may stand apart, and no more; whichever output it is.</summary>
    [Theory]
    [InlineData('x')]
    [InlineData('y')]
    public void Where_many_lines_stand_apart_no_output_explains_them(char axis)
    {
        string[] lines = Plain.Text().Split('\n');
        int[] rows = [.. Enumerable.Range(0, lines.Length - 2).Where(row => lines[row + 1][0] == axis)];
        int most = rows.Length / 10;
        Assert.Equal(most, Left(most).Count);
        string fault = Assert.Throws<CompileException>(() => Left(most + 1)).Message;
        Assert.Contains($"{most + 1} of {rows.Length} readings of output {axis} stand apart from those of the codes beside them: no output explains them", fault, StringComparison.Ordinal);

        IReadOnlyCollection<Diagnostic> Left(int count)
        {
            // Spread, so that those beside them are sound.
            int[] wrong = [.. Enumerable.Range(0, count).Select(i => rows[2 + i * (rows.Length - 4) / (most + 1)])];
            var sink = new DiagnosticSink();
            ConverterTables.Fit(Plain.Text((row, volts) => wrong.Contains(row) ? volts + 0.9 : volts), sink);
            return [.. sink.Collected];
        }
    }

    [Fact]
    public void A_misread_line_is_named_and_left_out()
    {
        var sink = new DiagnosticSink();
        ConverterFit fit = ConverterTables.Fit(Plain.Text((row, volts) => row == 20 ? volts + 0.9 : volts), sink);
        Assert.Equal(
            "r.csv:22: warning PC4048: measurement 21 (output x, code 28672, -348.484 mV) is left out: it lies 900 mV off what the codes beside it give; look for a misread digit, and read it again",
            Assert.Single(sink.Collected).ToString());
        OutputLevel level = fit.X.Levels.Single(l => l.Code == 28672);
        Assert.Equal(1, level.Readings);
        Assert.Equal((Plain.Own('x', 28672) + 10) / Step - 28672, level.DeviationSteps, 1e-3);
        Assert.Equal(6e-4, fit.X.Crosstalk!.Value, 1e-9);
    }

    [Fact]
    public void The_meters_error_is_what_is_stated_or_what_readings_tell()
    {
        // Every second reading is 0.1 mV too high: of two at one code, with the other output at either end, one in half of the codes.
        string text = Plain.Text((row, volts) => volts + (row % 3 == 0 ? 1e-4 : 0));
        ConverterFit told = ConverterTables.Fit(text), stated = ConverterTables.Fit(text, null, 5e-4);
        Assert.Equal(told.X.Crosstalk!.Value, stated.X.Crosstalk!.Value, 1e-12);
        Assert.Equal(5e-4 / Step / Math.Sqrt(2), stated.X.Levels[0].StandardErrorSteps, 1e-9);
        Assert.InRange(told.X.Levels[0].StandardErrorSteps * Step, 1e-5, 1e-4);
        Assert.Equal(1.96 * stated.X.Crosstalk.StandardError, stated.X.Crosstalk.High - stated.X.Crosstalk.Value, 1e-4 * stated.X.Crosstalk.High);
        var sink = new DiagnosticSink();
        ConverterTables.Fit(text, sink, 1e-5);
        Assert.Matches("^warning PC4051: readings of output x scatter [4-8](\\.[0-9])? times as far as the stated error of the meter; wait longer until the output has settled, or state a larger error$", sink.Collected[0].ToString());
    }

    [Fact]
    public void Readings_are_weighted_by_their_stated_errors()
    {
        string Rows(char axis) => string.Concat(new[] { (0, 0), (0, 65535), (20000, 0), (40000, 65535), (65535, 0) }.Select((pair, i) => FormattableString.Invariant(
            $"{axis}, {pair.Item1}, {pair.Item2}, {-10 + Step * pair.Item1 + (i == 1 ? 0.02 : 0):R}, 0.0001\n")));
        string text = "axis, code, other, volts [V], uncertainty [V]\n" + Rows('x') + Rows('y') + FormattableString.Invariant($"x, 20000, 0, {-10 + Step * 20000 + 0.0005:R}, 0.0002\n");
        ConverterFit fit = ConverterTables.Fit(text);

        // Two readings of 0 and 0.5 mV too high, weights 4 to 1; one end to the other is a difference of 20 V but a step, and 20 mV are felt.
        Assert.Equal(0.02 / (20 - Step), fit.X.Crosstalk!.Value, 2e-6);
        Assert.Equal(1e-4 / Math.Sqrt(1.25), fit.X.Levels[1].StandardErrorSteps * Step, 1e-9);
        Assert.Equal(0.0001, (fit.X.Levels[1].DeviationSteps * Step) - (10 * fit.X.Crosstalk.Value), 2e-5);
    }

    [Fact]
    public void Without_a_second_code_of_the_other_output_there_is_no_crosstalk()
    {
        var sink = new DiagnosticSink();
        ConverterFit fit = ConverterTables.Fit(Only(Plain.Text(), line => line.Split(", ")[2] == "0"), sink);
        Assert.Null(fit.X.Crosstalk);

        // What the other output at its end adds stays in what was read.
        Assert.All(fit.X.Levels, level => Assert.Equal(Plain.Volts('x', level.Code, 0), -10 + (level.Code + level.DeviationSteps) * Step, 1e-9));
        Assert.All(fit.Y.Levels, level => Assert.Equal(Plain.Volts('y', level.Code, 0), -10 + (level.Code + level.DeviationSteps) * Step, 1e-9));
        Assert.Equal(
            [
                "warning PC4050: no code of output x was read with the other output at more than one code, which tells nothing of crosstalk; read some codes with the other output at both of its ends",
                "warning PC4006: output x was read as often as its fit needs, so nothing is known of the error of the readings; state the meter's with --meter-error, or read each code with the other output at both of its ends",
            ],
            sink.Collected.Take(2).Select(message => message.ToString()));
        Assert.True(double.IsNaN(fit.X.Levels[0].StandardErrorSteps));
        Assert.DoesNotContain("crosstalk", ConverterText.Of(fit, ConverterTables.Dac), StringComparison.Ordinal);
    }

    [Fact]
    public void One_output_alone_is_refused() => Refused(
        "r.csv: error PC4003: all readings are of output x: nothing is known of output y, not even what voltage it had beside them; read output y, too ('patternc generate converter-readings' writes the table to fill in)",
        Only(Plain.Text(), line => line[0] == 'x'));

    [Fact]
    public void Two_codes_are_too_few() => Refused(
        "r.csv: error PC4002: output x was read at 2 codes, which determine a straight line at the most; read both sides of each large carry and both ends ('patternc generate converter-readings' writes the table to fill in)",
        Only(Plain.Text(), line => line[0] == 'y' || line.StartsWith("x, 0,", StringComparison.Ordinal) || line.StartsWith("x, 65535,", StringComparison.Ordinal)));

    [Theory]
    [InlineData("axis, code, other, volts [mV]", 1, "20.08 mV", "the unit in the header is a thousandfold off: 'volts [mV]' or 'volts [V]'")]
    [InlineData("axis, code, other, volts [V]", 1000, "20.08 kV", "the unit in the header is a thousandfold off: 'volts [mV]' or 'volts [V]'")]
    [InlineData("axis, code, other, volts [V]", 0.25, "5.02 V", "state the range of the outputs as 'dac.lowest' and 'dac.highest', and look for a wrong unit in the header")]
    public void Voltages_of_another_unit_are_refused(string header, double factor, string span, string fix) => Refused(
        $"r.csv: error PC4073: output x changes by {span} over all codes, but the machine file states 20 V; {fix}", (Plain with { CarrySteps = 0 }).Text((_, volts) => factor * volts, header));

    [Fact]
    public void A_voltage_that_falls_is_refused() => Refused(
        "r.csv: error PC4073: the voltage of output x falls where its code rises; exchange the leads of the meter or of the output; where the amplifier really inverts, write the voltages with the other sign and state 'invert_x' in the machine file",
        Plain.Text((_, volts) => -volts));

    [Fact]
    public void Exchanged_outputs_are_refused() => Refused(
        "r.csv: error PC4073: the voltage of output x follows the code of the other output more than its own; look for exchanged outputs, or exchanged columns 'code' and 'other'",
        string.Join('\n', Plain.Text().Split('\n').Select(line => line.Split(", ") is [var axis, var code, var other, _] && axis != "axis"
            ? FormattableString.Invariant($"{axis}, {code}, {other}, {Plain.Volts(axis == "x" ? 'y' : 'x', int.Parse(other, System.Globalization.CultureInfo.InvariantCulture), int.Parse(code, System.Globalization.CultureInfo.InvariantCulture))}")
            : line)));

    [Theory]
    [InlineData(-20, 0.5, "except from code 0 to 28672")]
    [InlineData(-0.5, 20, "except from code 36863 to 65535")]
    [InlineData(-1, 1, "over about half of the codes that were read, or more")]
    public void An_amplifier_that_clips_nearly_all_is_refused(double low, double high, string where)
    {
        string message = Assert.Throws<CompileException>(() => ConverterTables.Fit((Plain with { Ends = (low, high) }).Text())).Message;
        Assert.StartsWith($"r.csv: error PC4049: output x does not follow its code {where}", message, StringComparison.Ordinal);
        Assert.EndsWith("; lower the gain of its amplifier or raise its supply, and measure again", message, StringComparison.Ordinal);
    }

    /// <summary>In a short table nothing tells which of two readings is wrong.</summary>
    [Fact]
    public void Readings_of_the_same_codes_that_differ_are_refused()
    {
        string Rows(char axis) => FormattableString.Invariant($"{axis}, 0, 0, -10\n{axis}, 32768, 0, 0\n{axis}, 65535, 0, 9.9997\n{axis}, 65535, 65535, 9.9998\n");
        Refused(
            "r.csv:10: error PC4047: output x was read twice at code 32768 with the other at 0: 0 V (measurement 2) and 10 mV (measurement 9); read it again, and put # in front of the line that was wrong",
            "axis, code, other, volts [V]\n" + Rows('x') + Rows('y') + "x, 32768, 0, 0.01\n");
    }

    [Fact]
    public void An_output_that_falls_between_carries_is_refused() => Refused(
        "r.csv: error PC4073: output y falls from code 20000 to 20010 by 4 steps, which no carry explains; look for a misread line, and read both sides of a carry at codes that follow each other; a converter that falls otherwise cannot be corrected",
        "axis, code, other, volts [V]\nx, 0, 0, -10\nx, 32768, 0, 0\nx, 65535, 0, 9.9997\ny, 0, 0, -10\n"
        + FormattableString.Invariant($"y, 20000, 0, {-10 + Step * 20000}\ny, 20010, 0, {-10 + Step * 19996}\ny, 65535, 0, 9.9997\n"));

    /// <summary>From 2 steps above the line to 12 below it, ten codes on: it falls by 4.</summary>
    [Fact]
    public void How_far_an_output_falls_is_counted_between_outputs() => Refused(
        "r.csv: error PC4073: output x falls from code 20000 to 20010 by 4 steps, which no carry explains; look for a misread line, and read both sides of a carry at codes that follow each other; a converter that falls otherwise cannot be corrected",
        "axis, code, other, volts [V]\ny, 0, 0, -10\ny, 32768, 0, 0\ny, 65535, 0, 9.9997\nx, 0, 0, -10\n"
        + FormattableString.Invariant($"x, 20000, 0, {-10 + Step * 20002}\nx, 20010, 0, {-10 + Step * 19998}\nx, 65535, 0, 9.9997\n"));

    [Theory]
    [InlineData("z, 0, 0, -10", "r.csv:2: error PC4005: 'axis' must be x or y, but it is 'z'; correct the line, or put # in front of it")]
    [InlineData("x, 0.5, 0, -10", "r.csv:2: error PC4005: 'code' must be a code from 0, the lowest voltage, to 65535, but it is 0.5; correct the line, or put # in front of it")]
    [InlineData("x, 65536, 0, -10", "r.csv:2: error PC4005: 'code' must be a code from 0, the lowest voltage, to 65535, but it is 65536; correct the line, or put # in front of it")]
    [InlineData("x, 0, -1, -10", "r.csv:2: error PC4005: 'other' must be a code from 0, the lowest voltage, to 65535, but it is -1; correct the line, or put # in front of it")]
    [InlineData("x, 0, 0, ", "r.csv:2: error PC4005: 'volts' is left empty; correct the line, or put # in front of it")]
    public void A_line_that_is_no_reading_is_named(string line, string message) => Refused(message, $"axis, code, other, volts [V]\n{line}\n");

    [Fact]
    public void A_table_without_axes_is_refused() => Refused(
        "r.csv: error PC4001: there is no column 'axis'; add a column 'axis' that says x or y, the output that was read", "code, other, volts [V]\n0, 0, -10\n");

    /// <summary>Lines of a target written with an even field tell the carries alone, whatever the field's scale and offset.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Written_lines_tell_what_is_not_straight(bool swap)
    {
        Machine machine = DefaultFiles.Machine with { Deflection = DefaultFiles.Machine.Deflection with { SwapAxes = swap, InvertY = true } };
        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        var text = new StringBuilder("axis, place [um], offset [nm]\n");
        foreach (char axis in "xy")
        {
            // The output that drives this axis is two steps too high from the middle on: a larger voltage is a smaller y.
            double step = 100_000.0 / 65536 * (axis == 'y' ? -1 : 1);
            for (int i = -8; i <= 8; i++)
            {
                double place = 5 * i + 0.4;
                (double x, double y) = axis == 'x' ? mapping.CodesAt((long)(place * 1e9), 0) : mapping.CodesAt(0, (long)(place * 1e9));
                bool isHigh = (axis == 'x' != swap ? x : y) >= 32768;
                text.Append(System.Globalization.CultureInfo.InvariantCulture, $"{axis}, {place}, {(isHigh ? 2 * step : 0) + 30 + (0.5 * place)}\n");
            }
        }

        MeasurementTable table = MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text.ToString())), "t.csv", ConverterReadings.WordColumns);
        var sink = new DiagnosticSink();
        ConverterFit fit = ConverterFitter.Fit(WrittenLines.Of(table, machine), machine.Dac, true, table.PlaceOf, sink);
        Assert.Empty(sink.Collected);
        foreach (OutputFit output in (OutputFit[])[fit.X, fit.Y])
        {
            double[] low = [.. output.Levels.Where(l => l.Code < 32768).Select(l => l.DeviationSteps)], high = [.. output.Levels.Where(l => l.Code >= 32768).Select(l => l.DeviationSteps)];
            Assert.Equal(0, output.Levels.Sum(l => l.DeviationSteps), 1e-6);

            // A line through a step of two is steeper by 3/2 of it over the whole length at the most.
            Assert.InRange(high[0] - low[^1], 1.7, 2.01);
            Assert.InRange(low[0] - low[^1], 0.9, 1.5);
        }

        string printed = ConverterText.Of(fit, machine.Dac);
        Assert.Contains("# gain, offset and crosstalk are those of the field: 'patternc fit field'\n", printed, StringComparison.Ordinal);
        Assert.DoesNotContain("gain-error", printed, StringComparison.Ordinal);
        CompileException refused = Assert.Throws<CompileException>(() => WrittenLines.Of(table, machine with { Deflection = machine.Deflection with { LinearityX = fit.X.Linearity } }));
        Assert.Contains("the machine file corrects the outputs already", refused.Message, StringComparison.Ordinal);
    }

    private static string Only(string text, Func<string, bool> wanted) => string.Concat(text.Split('\n').Where((line, i) => i == 0 || (line.Length > 0 && wanted(line))).Select(line => line + "\n"));

    private static void Refused(string message, string text) => Assert.Equal(message, Assert.Throws<CompileException>(() => ConverterTables.Fit(text)).Message);
}
