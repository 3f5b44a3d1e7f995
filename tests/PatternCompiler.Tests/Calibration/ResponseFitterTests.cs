using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.Settling;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Calibration;

/// <summary>Readings are made from the definition: a jump times the parts that are left after the wait, and the hysteresis between two sides.</summary>
public sealed class ResponseFitterTests
{
    private static readonly double[] Waits = [4, 6, 9, 13, 20, 30, 45, 70, 100, 150, 220, 330, 500, 750];

    [Theory]
    [InlineData(5, 200, 0.1, 3000)]
    [InlineData(2, 60, 0.02, 40)]
    [InlineData(8, 100, 0.3, 0)]
    public void Exact_readings_give_the_exact_response(double fast, double slow, double part, double play)
    {
        ResponseFit fit = ResponseFitter.Fit(Readings('x', fast, slow, part, play, 0), new DiagnosticSink());
        Assert.Equal(fast, fit.TimeConstants[0].Value, fast * 1e-5);
        Assert.Equal(slow, fit.TimeConstants[1].Value, slow * 1e-5);
        Assert.Equal(part, fit.SlowPart!.Value, part * 1e-5);
        Assert.Equal(play, fit.Hysteresis!.Value, 0.01);
    }

    [Fact]
    public void Intervals_hold_the_truth_of_noisy_readings()
    {
        int held = 0;
        for (int seed = 0; seed < 40; seed++)
        {
            ResponseFit fit = ResponseFitter.Fit(Readings('x', 5, 200, 0.1, 3000, 3, seed), new DiagnosticSink());
            held += Holds(fit.TimeConstants[0], 5) + Holds(fit.TimeConstants[1], 200) + Holds(fit.SlowPart!, 0.1) + Holds(fit.Hysteresis!, 3000);
        }

        // 152 of 160 are expected at 95 %; fewer than 143 come by chance once in a thousand tables.
        Assert.InRange(held, 143, 160);

        static int Holds(FitParameter parameter, double truth) => parameter.Low <= truth && truth <= parameter.High ? 1 : 0;
    }

    [Fact]
    public void One_exponential_is_told_as_one_and_why()
    {
        ResponseFit fit = ResponseFitter.Fit(Readings('y', 12, 12, 0, 100, 3), new DiagnosticSink());
        Assert.Null(fit.SlowPart);
        Assert.Equal("what one leaves is no more than their error", fit.OneAlone);
        Assert.Equal(12, fit.TimeConstants[0].Value, tolerance: 0.1);
    }

    /// <summary>One with a dead time is left alone where two explain no more than chance would, and where what two find is bounded by nothing.</summary>
    [Theory]
    [InlineData(12, 12, 0, 3, false)]
    [InlineData(5, 200, 0.1, 3, true)]
    [InlineData(5, 200, 0.1, 0, true)]
    [InlineData(12, 12, 0, 0, false)]
    [InlineData(5, 200, 0.001, 30, false)]
    public void Two_are_needed_where_one_does_not_explain_the_readings(double fast, double slow, double part, double noise, bool needsTwo)
    {
        SettlingReading[] readings = [.. Readings('x', fast, slow, part, 0, noise).Where(reading => reading.Displacement > 0)];
        SettlingFit one = SettlingFitter.Fit(
            [.. readings.Select(reading => reading.Jump)], [.. readings.Select(reading => reading.Wait)], [.. readings.Select(reading => reading.Displacement)], new DiagnosticSink());
        Assert.Equal(needsTwo, ResponseFitter.NeedsTwo([.. readings.Select(reading => reading with { Axis = ' ', IsOfBothSides = false })], one));
    }

    /// <summary>
    /// How far one must be off: of 70 readings two leave 67 to spare, and Student's t at 0.9995 is then 3.44 (any handbook's table), so
    /// that F is 11.8 and the squares are 1.177 times those of two.
    /// </summary>
    [Theory]
    [InlineData(1.16, false)]
    [InlineData(1.19, true)]
    public void Two_are_needed_where_chance_would_do_it_once_in_a_thousand_times(double squares, bool needsTwo)
    {
        SettlingReading[] readings = [.. Readings('x', 5, 200, 0.1, 0, 3).Select(reading => reading with { IsOfBothSides = false })];
        ResponseFit two = ResponseFitter.Fit(readings, new DiagnosticSink());
        var none = new FitParameter("", "", 0, 0, 0, 0);
        Assert.Equal(70, readings.Length);
        Assert.Equal(needsTwo, ResponseFitter.NeedsTwo(readings, new SettlingFit(none, none) { RootMeanSquareNanometres = two.RootMeanSquareNanometres * Math.Sqrt(squares) }));
    }

    [Fact]
    public void A_fast_part_that_is_gone_is_told()
    {
        var sink = new DiagnosticSink();
        SettlingReading[] late = [.. Readings('x', 1, 200, 0.1, 0, 3).Where(reading => reading.Wait >= 20)];
        ResponseFit fit = ResponseFitter.Fit(late, sink);
        Assert.True(fit.IsFastUnseen, $"{fit} {fit.OneAlone}");
        Assert.Equal(200, fit.TimeConstants[1].Value, tolerance: 10);
        Assert.StartsWith("warning PC4074: the fast part along x was gone before the shortest wait: its time constant is at most ", Assert.Single(sink.Collected).ToString(), StringComparison.Ordinal);
    }

    /// <summary>Averaged over a visit, as the definition says: numerically, by Simpson's rule.</summary>
    [Fact]
    public void A_long_visit_is_averaged_over()
    {
        const double Visit = 6;
        SettlingReading[] readings = [.. Waits.Select((wait, i) => new SettlingReading(i, 'x', 40_000, wait, Visit, 40_000 * Mean(wait), false))];
        ResponseFit fit = ResponseFitter.Fit(readings, new DiagnosticSink());
        Assert.Equal(5, fit.TimeConstants[0].Value, 1e-4);
        Assert.Equal(200, fit.TimeConstants[1].Value, 1e-2);

        static double Mean(double wait)
        {
            const int Steps = 400;
            double sum = 0;
            for (int i = 0; i <= Steps; i++)
            {
                double t = wait + (Visit * i / Steps);
                sum += ((0.9 * Math.Exp(-t / 5)) + (0.1 * Math.Exp(-t / 200))) * (i is 0 or Steps ? 1 : i % 2 == 1 ? 4 : 2);
            }

            return sum / (3 * Steps);
        }
    }

    /// <summary>Jumps to and fro, followed one by one by the motion that predictions follow.</summary>
    [Fact]
    public void Visits_that_follow_each_other_are_told_from_one()
    {
        const int Visits = 40;
        const double Jump = 40_000;
        SettlingReading[] readings = [.. Waits.Select((wait, i) => new SettlingReading(i, 'x', Jump, wait, 2, Mean(wait, 2), false, Visits))];
        ResponseFit fit = ResponseFitter.Fit(readings, new DiagnosticSink());
        Assert.Equal(5, fit.TimeConstants[0].Value, tolerance: 1e-3);
        Assert.Equal(200, fit.TimeConstants[1].Value, tolerance: 0.05);
        Assert.Equal(0.1, fit.SlowPart!.Value, tolerance: 1e-5);

        static double Mean(double wait, double visit)
        {
            AxisMotion motion = AxisMotion.AlongX(new SettleModel(0, 2e-4, 0) { ResponseX = [new(0.9, 5e-6), new(0.1, 2e-4)] });
            double sum = 0;
            for (int i = 0; i < Visits; i++)
            {
                motion.Send(Jump);
                sum += Jump - motion.Goal - motion.Mean(wait * 1e-6, (wait + visit) * 1e-6);
                motion.Pass((wait + visit) * 1e-6);
                motion.Send(0);
                motion.Pass((wait + visit) * 1e-6);
            }

            return sum / Visits;
        }
    }

    [Fact]
    public void The_fragment_is_read_by_the_machine_file()
    {
        SettlingReading[] readings = [.. Readings('x', 5, 200, 0.1234567, 3000, 3), .. Readings('y', 7, 7, 0, 2000, 3)];
        string fragment = ResponseText.Of(ResponseFitter.FitAxes(readings, new DiagnosticSink()), readings.Select(reading => reading.Jump), 5);
        Machine machine = MachineFile.Parse(
            "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}\ndeflection: {field: 100 um}\n" + fragment
            + "clock: {rate: 1 MHz, shortest_dwell: 2 ticks, longest_dwell: 1000 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 1 MB/s, buffer: 4 KiB}\n",
            "m.yaml");
        Assert.Equal(2, machine.Settle.ResponseX.Length);
        Assert.Single(machine.Settle.ResponseY);
        Assert.InRange(machine.Settle.HysteresisXNanometres, 2980, 3020);
        Assert.InRange(machine.Settle.ApproachNanometres, 3700, 3900);
        Assert.Equal(5, machine.Settle.Table.Length);
    }

    // Of a wait of minutes beside none a quantile of the test was looked for in vain.
    [Fact]
    public void Waits_without_a_measure_end_in_a_fit_or_an_error()
    {
        MeasurementTable table = MeasurementTable.Read(
            new MemoryStream("axis,sides,jump[um,wait[s,a,s,displacement[m\nx,2,9,0,,,0\nx,2,9,1,,,0\nx,2,9,0,,,0\nx,2,6,0,,,0\nx,2,9,300,,,1"u8.ToArray()), "t", SettlingReading.WordColumns);
        Exception? end = Record.Exception(() => ResponseFitter.FitAxes(SettlingReading.Of(table), new DiagnosticSink()));
        Assert.True(end is null or CompileException, end?.ToString());
    }

    /// <summary>Whatever a table says more than lengths and times, line by line; and what it cannot say.</summary>
    [Theory]
    [InlineData("visits", "3", "3")]
    [InlineData("visits", "10000", "10000")]
    [InlineData("visits", "10001", "'visits' must be a whole number from 1 to 10000, but it is 10001")]
    [InlineData("visits", "2.5", "'visits' must be a whole number from 1 to 10000, but it is 2.5")]
    [InlineData("visits", "0", "'visits' must be a whole number from 1 to 10000, but it is 0")]
    [InlineData("visit [us]", "3", "3")]
    [InlineData("visit [us]", "-1", "'visit' must not be below zero, but it is -1")]
    [InlineData("sides", "2", "2")]
    [InlineData("sides", "3", "'sides' must be 1 or 2, from how many the dots were approached that are compared, but it is 3")]
    [InlineData("axis", "y", "y")]
    [InlineData("axis", "z", "'axis' must be x or y, along which the beam jumped, but it is 'z'")]
    public void Columns_beside_lengths_and_times_are_read(string column, string cell, string expected)
    {
        string usual = column == "axis" ? "x" : "1";
        MeasurementTable table = MeasurementTable.Read(new MemoryStream(System.Text.Encoding.UTF8.GetBytes($"jump [um], wait [us], displacement [nm], {column}\n1, 2, 3, {usual}\n4, 5, 6, {cell}\n")), "t", SettlingReading.WordColumns);
        SettlingReading[] Read() => [.. SettlingReading.Of(table)];
        if (expected.Length > 9)
        {
            Diagnostic fault = Assert.Throws<CompileException>(Read).Diagnostic;
            Assert.Equal((expected, 1), (fault.Message, fault.Measurement!.Value));
            return;
        }

        SettlingReading plain = new(1, ' ', 4000, 5, 0, 6, false);
        Assert.Equal(
            column switch { "visits" => plain with { Visits = int.Parse(expected, System.Globalization.CultureInfo.InvariantCulture) }, "visit [us]" => plain with { Visit = 3 }, "sides" => plain with { IsOfBothSides = true }, _ => plain with { Axis = 'y' } },
            Read()[1]);
        Assert.True(Read()[1].IsDetailed);
        Assert.False(plain.IsDetailed);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Displacements_of_nothing_at_all_end_in_an_error(bool isOfBothSides)
    {
        SettlingReading[] readings = [.. Waits.Select((wait, i) => new SettlingReading(i, 'x', 40_000, wait, 0, 0, isOfBothSides))];
        Assert.Equal(
            "error PC4007: no settling describes these displacements along x (measurement 1, wait 4 us and displacement 0 nm, stands most against a displacement that falls with the wait); look for a misread line or a wrong column",
            Assert.Throws<CompileException>(() => ResponseFitter.Fit(readings, new DiagnosticSink())).Message);
    }

    [Fact]
    public void A_single_wait_tells_nothing()
    {
        SettlingReading[] readings = [.. Readings('x', 5, 200, 0.1, 0, 3).Where(reading => reading.Wait == 9)];
        Assert.Equal(
            "error PC4003: the dots along x were written after one or two waits, which tells nothing of how the displacement falls beside the hysteresis; write the target with more waits",
            Assert.Throws<CompileException>(() => ResponseFitter.Fit(readings, new DiagnosticSink())).Diagnostic.ToString());
    }

    [Fact]
    public void Displacements_larger_than_any_jump_leave_every_time_constant_open()
    {
        SettlingReading[] readings =
        [
            .. new (double Jump, double Wait, double Displacement)[] { (9000, 5e6, 6e16), (9000, 1e6, 0), (9000, 4e7, 0), (6000, 1e6, 0) }
                .Select((at, row) => new SettlingReading(row, 'x', at.Jump, at.Wait, 0, at.Displacement, true)),
        ];
        ResponseFit fit = Assert.Single(ResponseFitter.FitAxes(readings, new DiagnosticSink()));
        FitParameter constant = Assert.Single(fit.TimeConstants);
        Assert.Equal((0.0, double.PositiveInfinity), (constant.Low, constant.High));
    }

    /// <summary>A unit read wrongly is told as such, whichever way the beam stayed; an overshoot, or a noisy reading of no wait, is not.</summary>
    [Theory]
    [InlineData("8000.1", "the beam stayed 8000.1 nm behind after a jump of 4000 nm: look for a unit other than the header says, or exchanged columns")]
    [InlineData("-6e10", "the beam stayed -60000000000 nm behind after a jump of 4000 nm: look for a unit other than the header says, or exchanged columns")]
    [InlineData("4010", "")]
    [InlineData("-3900", "")]
    public void Far_more_than_the_jump_is_no_displacement(string displacement, string expected)
    {
        MeasurementTable table = MeasurementTable.Read(
            new MemoryStream(System.Text.Encoding.UTF8.GetBytes($"jump [um], wait [us], displacement [nm]\n1, 2, 3\n4, 5, {displacement}\n")), "t", SettlingReading.WordColumns);
        Diagnostic? told = (Record.Exception(() => SettlingReading.Of(table)) as CompileException)?.Diagnostic;
        Assert.Equal((expected, expected.Length > 0 ? 1 : null), (told?.Message ?? "", told?.Measurement));
    }

    // Every wait with five jumps, compared from both sides.
    private static SettlingReading[] Readings(char axis, double fast, double slow, double part, double play, double noise, int seed = 1)
    {
        var random = new Random(seed);
        return
        [
            .. Waits.SelectMany(wait => Enumerable.Range(1, 5).Select(i => (Wait: wait, Jump: 16_000.0 * i))).Select((at, row) => new SettlingReading(
                row, axis, at.Jump, at.Wait, 0,
                (at.Jump * (((1 - part) * Math.Exp(-at.Wait / fast)) + (part * Math.Exp(-at.Wait / slow)))) + play + (noise * Normal(random)), true)),
        ];
    }

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
