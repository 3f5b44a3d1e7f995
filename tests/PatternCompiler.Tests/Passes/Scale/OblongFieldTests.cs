using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Passes.Scale;

/// <summary>
/// A field twice as high as wide: a code is 1 nm in x and 2 nm in y, and an axis taken for the other shows. Expected codes and
/// ticks are counted by hand: 10 MHz, 1 nm per microsecond.
/// </summary>
public sealed class OblongFieldTests
{
    private static readonly Deflection Oblong = new(65_536, 131_072, false, false, false, AffineCalibration.Identity);
    private static readonly ScaleOptions Slewing = ScaleCase.Options with { Deflection = Oblong, Settle = new SettleModel(1e-6, 0, 1e6) };

    // (10, 60) nm are 10 codes along x and 30 along y.
    [Theory]
    [InlineData(false, false, false, 10, 30)]
    [InlineData(true, false, false, -10, 30)]
    [InlineData(false, true, false, 10, -30)]
    [InlineData(true, true, false, -10, -30)]
    [InlineData(false, false, true, 30, 10)]
    [InlineData(true, false, true, 30, -10)]
    [InlineData(false, true, true, -30, 10)]
    [InlineData(true, true, true, -30, -10)]
    public void A_place_has_the_code_of_its_axis(bool invertX, bool invertY, bool swap, int codeX, int codeY)
    {
        var mapping = new DacMapping(ScaleCase.Options.Dac, Oblong with { InvertX = invertX, InvertY = invertY, SwapAxes = swap });
        Assert.Equal((32768.0 + codeX, 32768.0 + codeY), mapping.CodesAt(10_000_000, 60_000_000));
        Assert.Equal((10.0, 60.0), mapping.PlaceOf(32768 + codeX, 32768 + codeY));
        (double perX, double perY) = (invertX ? -1 : 1, invertY ? -2 : 2);
        Assert.Equal(swap ? (perY, perX) : (perX, perY), (mapping.NanometresPerCodeX, mapping.NanometresPerCodeY));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void The_lattice_has_the_step_of_its_axis(bool invert)
    {
        var calibration = new AffineCalibration(0.5, 0, 7, 0, 0.25, 6);
        CodeLattice lattice = new DacMapping(ScaleCase.Options.Dac, Oblong with { InvertX = invert, InvertY = invert, Calibration = calibration }).ToLattice();
        Assert.Equal((2_000_000.0, 8_000_000.0), (lattice.X.StepFemtometres, lattice.Y.StepFemtometres));

        // Commanded 0 is sent to the middle code; it is wanted -14 nm and -24 nm from the centre.
        Assert.Equal(0, Math.IEEERemainder(lattice.X.NumberAt(-14_000_000), 1), 1e-6);
        Assert.Equal(0, Math.IEEERemainder(lattice.Y.NumberAt(-24_000_000), 1), 1e-6);
    }

    [Theory]
    [InlineData(DacFullScale.OneBeyondLastCode, 20.0 / 65536)]
    [InlineData(DacFullScale.LastCode, 20.0 / 65535)]
    public void Volts_of_a_code(DacFullScale fullScale, double lsb)
    {
        var mapping = new DacMapping(ScaleCase.Options.Dac with { FullScale = fullScale }, Oblong);
        Assert.Equal(-10, mapping.VoltsOf(0));
        Assert.Equal(-10 + 100 * lsb, mapping.VoltsOf(100), 1e-12);
        Assert.Equal(100, mapping.CodeOfVolts(-10 + 100 * lsb), 1e-9);
    }

    // Half a code is left over: 999.5 nm along x, 1999 nm along y.
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Settling_takes_the_step_of_the_axis_that_moves(bool swap)
    {
        ScaleOptions options = Slewing with { Deflection = Oblong with { SwapAxes = swap } };
        Assert.Equal(9_995, LastTicks(options, Stroke.Jump(0, 0, 0), Stroke.Jump(0, 1_000_000_000, 0)));
        Assert.Equal(19_990, LastTicks(options, Stroke.Jump(0, 0, 0), Stroke.Jump(0, 0, 2_000_000_000)));
        Assert.Equal(19_990, LastTicks(options, Stroke.Jump(0, 0, 0), Stroke.Jump(0, -1_000_000_000, -2_000_000_000)));
    }

    // Three quarters of the way at 1 nm/µs.
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_pass_takes_the_step_of_the_axis_that_moves(bool swap)
    {
        ScaleOptions options = Slewing with { Deflection = Oblong with { SwapAxes = swap } };
        Assert.Equal(7_500, LastTicks(options, Stroke.Jump(0, 0, 0), Stroke.Via(0, 1_000_000_000, 0)));
        Assert.Equal(15_000, LastTicks(options, Stroke.Jump(0, 0, 0), Stroke.Via(0, 0, 2_000_000_000)));

        // The beam is then at 3000 of 4000 nm in y: 1000 nm, 500 codes back to 2000 nm.
        Assert.Equal(9_990, LastTicks(options, Stroke.Jump(0, 0, 0), Stroke.Via(0, 0, 4_000_000_000), Stroke.Jump(0, 0, 2_000_000_000)));
        Assert.Equal(9_995, LastTicks(options, Stroke.Jump(0, 0, 0), Stroke.Via(0, 4_000_000_000, 0), Stroke.Jump(0, 2_000_000_000, 0)));
    }

    [Theory]
    [InlineData(1_000, 0, 100)]
    [InlineData(0, 1_000, 100)]
    [InlineData(0, 2_000, 200)]
    [InlineData(-2_000, 1_000, 200)]
    public void A_table_is_asked_for_the_longer_axis(int xNanometres, int yNanometres, long ticks)
    {
        ScaleOptions options = Slewing with { Settle = new SettleModel(1e-6, 0, 0) { Table = [new SettlePoint(0, 0), new SettlePoint(5_000, 50e-6)] } };
        Stroke jump = Stroke.Jump(0, xNanometres * 1_000_000L, yNanometres * 1_000_000L);
        Assert.Equal(ticks, LastTicks(options, Stroke.Jump(0, 0, 0), jump));
        Assert.Equal(ticks, LastTicks(options, Stroke.Jump(0, 0, 0), jump with { Kind = StrokeKind.Via }));
    }

    /// <summary>The beam is at the end of a line when it jumps on, and of every run of a line that bends.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_jump_after_a_line_settles_from_its_end(bool isBent)
    {
        // Measured, but straight: such a field is written run by run.
        var measured = new PolynomialCalibration(new FieldPolynomial(1, 50_000, [0, 50_000, 0], [0, 0, 50_000]));
        ScaleOptions options = isBent ? Slewing with { Deflection = Oblong with { Calibration = measured } } : Slewing;
        Stroke line = Stroke.Line(0, 0, 0, 3_000_000_000, 8_000_000_000, 4, 40 * ScaleCase.TickCharge);
        Assert.Equal(9_995, LastTicks(options, Stroke.Jump(0, 0, 0), line, Stroke.Jump(0, 4_000_000_000, 8_000_000_000)));
        Assert.Equal(19_990, LastTicks(options, Stroke.Jump(0, 0, 0), line, Stroke.Jump(0, 3_000_000_000, 6_000_000_000)));
        Assert.Equal(10, LastTicks(options, Stroke.Jump(0, 0, 0), line, Stroke.Jump(0, 3_000_000_000, 8_000_000_000)));
    }

    [Fact]
    public void A_jump_after_a_dot_settles_from_the_dot() => Assert.Equal(
        9_990,
        LastTicks(Slewing, Stroke.Jump(0, 0, 0), Stroke.Dot(0, 5_000_000, 1_000_000_000, 10 * ScaleCase.TickCharge), Stroke.Jump(0, 5_000_000, 2_000_000_000)));

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    public void A_converter_that_is_not_straight_is_undone_in_its_own_axis(int axis)
    {
        // 4 steps too high at code 40960, 0 at the middle and the end: straight between.
        var linearity = new CodeLinearity([(0, 0), (32768, 0), (40960, 4), (65535, 0)]);
        var mapping = new DacMapping(ScaleCase.Options.Dac, axis == 0 ? Oblong with { LinearityX = linearity } : Oblong with { LinearityY = linearity });

        // Half way, at code 36864, the output is 2 steps too high: 4098 codes from the middle.
        Assert.Equal(axis == 0 ? (4098.0, 8192.0) : (4096.0, 8196.0), mapping.PlaceOf(36864, 36864));
        (double x, double y) = axis == 0 ? mapping.CodesAt(4_098_000_000, 8_192_000_000) : mapping.CodesAt(4_096_000_000, 8_196_000_000);
        Assert.Equal(36864, x, 1e-9);
        Assert.Equal(36864, y, 1e-9);
        Assert.False(mapping.KeepsLinesStraight);
    }

    private static long LastTicks(ScaleOptions options, params Stroke[] strokes) => ScaleCase.Scale(options, strokes)[^1].Ticks;
}
