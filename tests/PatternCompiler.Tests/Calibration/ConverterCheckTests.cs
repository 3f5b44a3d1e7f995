using System.Globalization;
using PatternCompiler.Calibration.Converters;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Calibration;

/// <summary>Each check of voltages by itself, at its bounds; 16 bits, where a carry may be off by 8 steps.</summary>
public sealed class ConverterCheckTests
{
    private static readonly Dac Dac = ConverterTables.Dac;

    [Theory]
    [InlineData("y0 y1 y2", "error PC4003: all readings are of output y: nothing is known of output x, not even what voltage it had beside them; read output x, too ('patternc generate converter-readings' writes the table to fill in)")]
    [InlineData("x0 x1 x2 y5", "error PC4002: output y was read at 1 code, which determine a straight line at the most; read both sides of each large carry and both ends ('patternc generate converter-readings' writes the table to fill in)")]
    [InlineData("x0 x1 x0 x1 y1 y2 y3", "error PC4002: output x was read at 2 codes, which determine a straight line at the most; read both sides of each large carry and both ends ('patternc generate converter-readings' writes the table to fill in)")]
    [InlineData("x0 x1 x2 y0 y1 y2", null)]
    public void Both_outputs_are_read_at_several_codes(string places, string? expected) => Assert.Equal(
        expected,
        Record.Exception(() => ConverterCheck.RequireBoth([.. places.Split(' ').Select((place, i) => Reading(i, place[0], place[1] - '0', 0, 0))]))?.Message);

    /// <summary>Gains of more than a half and less than two are told, and what a span of 20 V has become where it is another.</summary>
    [Theory]
    [InlineData(0.5, "10 V")]
    [InlineData(0.51, null)]
    [InlineData(1.99, null)]
    [InlineData(2, "40 V")]
    [InlineData(3, "60 V")]
    public void Gains_are_of_an_amplifier(double gain, string? span)
    {
        foreach (int[] codes in (int[][])[[0, 8191, 8192, 16384, 40_000, 65_535], [1000, 4000, 9000]])
        {
            ConverterReading[] readings = [.. codes.Select((code, i) => Reading(i, 'y', code, 0, 700 + gain * code))];
            if (span is null)
            {
                Assert.Equal(gain, ConverterCheck.Gain(readings, 'y', Dac), 1e-12);
                continue;
            }

            Assert.Equal(
                $"error PC4073: output y changes by {span} over all codes, but the machine file states 20 V; state the range of the outputs as 'dac.lowest' and 'dac.highest', and look for a wrong unit in the header",
                Assert.Throws<CompileException>(() => ConverterCheck.Gain(readings, 'y', Dac)).Message);
        }
    }

    /// <summary>
    /// Slopes reach over an eighth of all codes, from either end: of 0, 8192, 16384 and 24576 with 0, 8000, 16192 and 24192 steps they are 8000, 8192 and
    /// 8000 to 8192, each twice, of which the middle one counts. Readings of a code count by their middle one.
    /// </summary>
    [Fact]
    public void The_gain_is_the_middle_slope_over_an_eighth_of_the_range()
    {
        Assert.Equal(8000.0 / 8192, ConverterCheck.Gain(Table((0, 0), (8192, 8000), (16_384, 16_192), (24_576, 24_192)), 'x', Dac), 1e-12);
        Assert.Equal(1, ConverterCheck.Gain(Table((0, 0), (8192, 1), (8192, 8192), (8192, 9000), (16_384, 16_384), (24_576, 24_576)), 'x', Dac), 1e-12);

        // An amplifier that follows in one eighth alone clips in the others.
        Assert.StartsWith(
            "error PC4049: output x does not follow its code over about half of the codes that were read, or more",
            Assert.Throws<CompileException>(() => ConverterCheck.Gain(Table((0, 0), (8192, 8192), (16_384, 8200), (24_576, 8210), (40_000, 8220)), 'x', Dac)).Message,
            StringComparison.Ordinal);
        Assert.StartsWith(
            "error PC4073: the voltage of output x falls where its code rises",
            Assert.Throws<CompileException>(() => ConverterCheck.Gain(Table((0, 9000), (100, 8900), (200, 8800)), 'x', Dac)).Message,
            StringComparison.Ordinal);
    }

    /// <summary>Of codes at a square's corners and beside its middle, an output that is more the other's than its own is exchanged.</summary>
    [Theory]
    [InlineData(0.55, 0.45, false)]
    [InlineData(0.45, 0.55, true)]
    [InlineData(0.9, -0.8, false)]
    [InlineData(0.7, -0.8, true)]
    public void An_output_follows_its_own_code(double own, double foreign, bool isExchanged)
    {
        (int Code, int Other)[] places = [(0, 0), (0, 60_000), (60_000, 0), (60_000, 60_000), (30_000, 9000), (40_000, 30_000)];
        ConverterReading[] readings = [.. places.Select((place, i) => Reading(i, 'x', place.Code, place.Other, own * place.Code + foreign * place.Other))];
        string message = Record.Exception(() => ConverterCheck.Gain(readings, 'x', Dac))?.Message ?? "";
        Assert.Equal(isExchanged, message.StartsWith("error PC4073: the voltage of output x follows the code of the other output more than its own", StringComparison.Ordinal));

        // Where both codes always moved together nothing tells them apart.
        Assert.Equal(1, ConverterCheck.Gain([.. places.Select((place, i) => Reading(i, 'x', place.Code, place.Code, place.Code + 0.3 * i))], 'x', Dac), 0.01);
    }

    [Theory]
    [InlineData(16_384, 32_768, true)]
    [InlineData(16_385, 32_768, false)]
    [InlineData(32_767, 65_535, true)]
    [InlineData(32_768, 65_535, false)]
    [InlineData(0, 32_768, true)]
    [InlineData(0, 32_767, false)]
    public void What_is_followed_is_a_quarter_with_the_middle(int lowest, int highest, bool isEnough) => Assert.Equal(
        isEnough ? null : $"error PC4049: output y does not follow its code except from code {lowest} to {highest}; lower the gain of its amplifier or raise its supply, and measure again",
        Record.Exception(() => ConverterCheck.RequireUsable(new CodeRange(lowest, highest), 'y', Dac))?.Message);

    /// <summary>Eight steps apart, or eight errors of the meter, whichever is more; of a pair, the later line is the one to read again.</summary>
    [Theory]
    [InlineData(108, 0, true)]
    [InlineData(108.5, 0, false)]
    [InlineData(91.5, 0, false)]
    [InlineData(108, 1, true)]
    [InlineData(108.5, 1, false)]
    [InlineData(116, 2, true)]
    [InlineData(116.5, 2, false)]
    public void Readings_of_a_code_agree(double steps, double error, bool isNear)
    {
        ConverterReading[] readings = [Reading(4, 'y', 99, 7, 100), Reading(9, 'y', 99, 7, steps), Reading(11, 'y', 99, 8, 900), Reading(12, 'y', 98, 7, 900)];
        Assert.Equal(
            isNear ? null : FormattableString.Invariant($"error PC4047: output y was read twice at code 99 with the other at 7: -9.96948 V (measurement 5) and {-10 + steps * 20 / 65536:0.#####} V (measurement 10); read it again, and put # in front of the line that was wrong"),
            Record.Exception(() => ConverterCheck.RequireAgreement(readings, error, Dac))?.Message);
    }

    /// <summary>A carry may be off by the 8192nd part of the range, and by a step at least.</summary>
    [Theory]
    [InlineData(65_536, 8)]
    [InlineData(16_384, 2)]
    [InlineData(8192, 1)]
    [InlineData(1024, 1)]
    public void Carries(int codes, double steps) => Assert.Equal(steps, UsableCodes.CarrySteps(codes));

    /// <summary>
    /// An end that rises by a hundredth less than expected, or by what carries or seven errors explain, is followed. Otherwise the search goes on
    /// inward to the first whole rise, and gives up one code more.
    /// </summary>
    [Theory]
    [InlineData("0 10000 20000 30000 40000 50000 60000:59900", 0, 0, 60_000)]
    [InlineData("0 10000 20000 30000 40000 50000 60000:59899", 0, 0, 40_000)]
    [InlineData("0 10000 20000 30000 40000 50000:49000 60000:49000", 0, 0, 30_000)]
    [InlineData("0:100 10000 20000 30000 40000 50000 60000", 0, 0, 60_000)]
    [InlineData("0:101 10000 20000 30000 40000 50000 60000", 0, 20_000, 60_000)]
    [InlineData("0:140 10000 20000 30000 40000 50000 60000:59860", 20, 0, 60_000)]
    [InlineData("0:141 10000 20000 30000 40000 50000 60000:59859", 20, 20_000, 40_000)]
    [InlineData("0 100 200 300 400:392", 0, 0, 400)]
    [InlineData("0 100 200 300 400:391", 0, 0, 200)]
    [InlineData("0 100 200 300 384 400:391", 0, 0, 300)]
    [InlineData("0 100 200 300 385 400:391", 0, 0, 200)]
    [InlineData("0 100 200 300 400 400:300", 0, 0, 400)]
    [InlineData("0 0:90 100 200 300 400", 0, 0, 400)]
    [InlineData("0 100:0 200:0 300:0", 0, 300, 0)]
    public void Ends_are_followed_up_to_the_first_whole_rise(string table, double error, int lowest, int highest)
    {
        ConverterReading[] readings =
        [
            .. table.Split(' ').Select(cell => cell.Split(':')).Select((pair, i) => Reading(
                i, 'x', int.Parse(pair[0], CultureInfo.InvariantCulture), 0, double.Parse(pair[^1], CultureInfo.InvariantCulture))),
        ];
        (CodeRange usable, bool low, bool high) = UsableCodes.Of(readings, 1, error, 65_536);
        Assert.Equal((new CodeRange(lowest, highest), lowest > 0, highest < readings[^1].Code), (usable, low, high));
    }

    [Fact]
    public void Eleven_readings_have_none_apart_and_twelve_may()
    {
        Assert.Equal([(0, 8.5)], Apart(12, 0, 8.5));
        Assert.Equal([(11, -8.5)], Apart(12, 11, -8.5));
        Assert.Equal([(5, 8.5)], Apart(12, 5, 8.5));
        Assert.Empty(Apart(12, 5, 8));
        Assert.Empty(Apart(11, 5, 8.5));
        Assert.Empty(Apart(12, 5, 16, 2));
        Assert.Equal([(5, 16.5)], Apart(12, 5, 16.5, 2));

        static IEnumerable<(int, double)> Apart(int count, int at, double steps, double error = double.NaN) => ConverterOutliers.Of(
            [.. Enumerable.Range(0, count).Select(i => Reading(i, 'x', i, 0, i) with { ErrorSteps = i == 0 ? error : double.NaN })],
            [.. Enumerable.Range(0, count).Select(i => i == at ? steps : 0)],
            8);
    }

    /// <summary>By the definition: off the middle one of the four beside it on either side by more than eight times 1.4826 the usual distance.</summary>
    [Fact]
    public void What_is_apart_is_so_by_the_usual_distance()
    {
        var random = new Random(5);
        for (int table = 0; table < 40; table++)
        {
            double[] deviations = [.. Enumerable.Range(0, 12 + table).Select(_ => 2 * random.NextDouble() * (random.Next(8) == 0 ? 12 : 1))];
            double[] apart = [.. deviations.Select((d, i) => d - Middle(deviations.Where((_, j) => j != i && Math.Abs(j - i) <= 4)))];
            double limit = Math.Max(1, 8 * 1.4826 * Middle(apart.Select(Math.Abs)));
            Assert.Equal(
                apart.Select((d, i) => (i, d)).Where(a => Math.Abs(a.d) > limit),
                ConverterOutliers.Of([.. deviations.Select((_, i) => Reading(i, 'x', i, 0, i))], deviations, 1));
        }

        static double Middle(IEnumerable<double> values)
        {
            List<double> all = [.. values];
            all.Sort();
            return all.Count % 2 == 1 ? all[all.Count / 2] : (all[all.Count / 2 - 1] + all[all.Count / 2]) / 2;
        }
    }

    /// <summary>
    /// Twelve bits whose highest code is the upper end, so that the middle lies between two codes, at 2047.5: x gives 1.01·code + 5 steps and 0.2 % of
    /// y, which gives 0.98·code + 20 and takes 0.1 % of x off.
    /// </summary>
    [Fact]
    public void Outputs_whose_last_code_is_the_upper_end()
    {
        var dac = new Dac(12, -5, 5, DacCoding.OffsetBinary, DacFullScale.LastCode);
        int[] codes = [0, 500, 1000, 1500, 2000, 2500, 3000, 3500, 4000, 4095];
        double X(int code) => 1.01 * code + 5;
        double Y(int code) => 0.98 * code + 20;
        ConverterReading[] readings =
        [
            .. from code in codes
               from other in (int[])[0, 4095]
               from reading in (ConverterReading[])
               [
                   Reading(0, 'x', code, other, X(code) + 0.002 * (Y(other) - 2047.5)),
                   Reading(0, 'y', code, other, Y(code) - 0.001 * (X(other) - 2047.5)),
               ]
               select reading,
        ];
        var sink = new DiagnosticSink();
        ConverterFit fit = ConverterFitter.Fit(readings, dac, false, _ => default, sink);
        Assert.Empty(sink.Collected);
        Assert.Equal(10.0 / 4095, fit.StepVolts, 1e-12);
        AssertOutput(fit.X, 0.002, 1, 0.01 * 2047.5 + 5);
        AssertOutput(fit.Y, -0.001, -2, -0.02 * 2047.5 + 20);

        void AssertOutput(OutputFit output, double crosstalk, double percent, double offsetSteps)
        {
            Assert.Equal(crosstalk, output.Crosstalk!.Value, 1e-5);
            Assert.Equal(percent, output.GainError.Value, 1e-6);
            Assert.Equal(offsetSteps * 1000 * 10 / 4095, output.Offset.Value, 1e-3);
            Assert.Equal((20, 9), (output.Residuals.Count, output.DegreesOfFreedom));
            Assert.Equal((new CodeRange(0, 4095), (false, false)), (output.Usable, output.Clips));
            Assert.All(output.Levels, level => Assert.Equal(percent / 100 * level.Code + offsetSteps - percent * 20.475, level.DeviationSteps, 1e-3));
        }
    }

    [Fact]
    public void Too_many_readings_are_refused() => Assert.Equal(
        "error PC4001: 100001 readings are too many to fit; at most 100000 are fitted; fit a part of them",
        Assert.Throws<CompileException>(() => ConverterFitter.Fit(new ConverterReading[100_001], Dac, false, _ => default, new DiagnosticSink())).Message);

    private static ConverterReading[] Table(params (int Code, double Steps)[] rows) => [.. rows.Select((row, i) => Reading(i, 'x', row.Code, 0, row.Steps))];

    private static ConverterReading Reading(int row, char axis, int code, int other, double steps) => new(row, axis, code, other, steps, double.NaN);
}
