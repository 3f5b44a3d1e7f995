using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Checks;

public sealed class FieldCheckTests
{
    // 100 um over 16 bits: codes stand from -50 um to 50 um less one code of 1.526 nm.
    private static readonly DacMapping Mapping = new(
        new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode),
        new Deflection(100_000, 100_000, false, false, false, AffineCalibration.Identity));

    private static FiguresDocument Rectangle(int xLeft, int yBottom, int xRight, int yTop) => new(
        new FiguresHeader(100, ["pads"]), [Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(xLeft, yBottom, xRight, yTop))]);

    [Fact]
    public void A_pattern_inside_passes() => FieldCheck.Run(Rectangle(-500_000, -500_000, 499_980, 499_980), Mapping);

    [Fact]
    public void The_highest_code_bounds_the_field() =>
        Assert.Throws<CompileException>(() => FieldCheck.Run(Rectangle(-500_000, -500_000, 500_000, 499_980), Mapping));

    [Theory]
    [InlineData(-500_000, -500_020, 499_980, 499_980)]
    [InlineData(-500_000, -500_000, 499_980, 500_000)]
    [InlineData(-500_020, -500_000, 499_980, 499_980)]
    public void Every_side_bounds_the_field(int xLeft, int yBottom, int xRight, int yTop) =>
        Assert.Throws<CompileException>(() => FieldCheck.Run(Rectangle(xLeft, yBottom, xRight, yTop), Mapping));

    /// <summary>Before anything is filled: the first corner that needs a code which its amplifier does not follow.</summary>
    [Fact]
    public void Codes_that_are_not_followed_bound_the_field_before_it_ends()
    {
        var usable = new DacMapping(Mapping.Dac, Mapping.Deflection with { UsableY = new(0, 60000) });
        FieldCheck.Run(Rectangle(-500_000, -500_000, 499_980, 415_500), usable);
        Assert.Equal(
            "figure 0 on layer pads at (-50, 41.6) um: error PC1405: (-50, 41.6) um lies beyond what the amplifiers follow: output Y would need code 60031, it follows from 0 to 60000 ('usable_y'); move or shrink the drawing, or enlarge the field in the machine file (a lower magnification)",
            Assert.Throws<CompileException>(() => FieldCheck.Run(Rectangle(-500_000, -500_000, 499_980, 416_000), usable)).Message);
    }

    /// <summary>A field of 100 by 200 um whose axes drive each other's output: 10 um too far up is told of y, whichever output it is.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void An_axis_is_named_as_drawn(bool swap)
    {
        var oblong = new DacMapping(Mapping.Dac, new Deflection(100_000, 200_000, false, false, swap, AffineCalibration.Identity));
        Assert.Equal(
            "figure 0 on layer pads at (10, 95) um: error PC1601: the pattern is 20 um wide and 30 um high, from (0, 80) to (20, 110) um, and reaches beyond the field of 100 um by 200 um about its centre by 10.0031 um in y; it would fit when centred ('--position centred', or 'position: centred' in the job)",
            Assert.Throws<CompileException>(() => FieldCheck.Run(Rectangle(0, 800_000, 200_000, 1_100_000), oblong)).Message);
    }

    [Theory]
    [InlineData(1_200_000, 10, false)]
    [InlineData(10, 1_200_000, false)]
    [InlineData(999_980, 999_980, true)]
    public void Centring_is_offered_where_both_sides_fit(int width, int height, bool fits) => Assert.Equal(
        fits,
        Assert.Throws<CompileException>(() => FieldCheck.Run(Rectangle(0, 0, width, height), Mapping)).Message.Contains("it would fit when centred", StringComparison.Ordinal));

    [Fact]
    public void A_pattern_off_centre_is_told_to_be_centred() => Assert.Equal(
        "figure 0 on layer pads at (40, 30) um: error PC1601: the pattern is 80 um wide and 60 um high, from (0, 0) to (80, 60) um, and reaches beyond the field of 100 um by 100 um about its centre by 30.0015 um in x and 10.0015 um in y; it would fit when centred ('--position centred', or 'position: centred' in the job)",
        Assert.Throws<CompileException>(() => FieldCheck.Run(Rectangle(0, 0, 800_000, 600_000), Mapping)).Message);

    /// <summary>However the axes run and whichever output they drive: 30 um too far to the right and 10 um too far up, to a code.</summary>
    [Fact]
    public void Excess_does_not_depend_on_how_the_axes_run()
    {
        foreach (bool invertX in new[] { false, true })
        {
            foreach (bool invertY in new[] { false, true })
            {
                foreach (bool swap in new[] { false, true })
                {
                    var mapping = new DacMapping(Mapping.Dac, new Deflection(100_000, 100_000, invertX, invertY, swap, AffineCalibration.Identity));
                    Assert.Matches(
                        @" by 30(\.00[0-9]+)? um in x and 10(\.00[0-9]+)? um in y; ",
                        Assert.Throws<CompileException>(() => FieldCheck.Run(Rectangle(0, 0, 800_000, 600_000), mapping)).Message);
                }
            }
        }
    }

    [Fact]
    public void A_pattern_that_is_too_large_needs_a_larger_field() => Assert.EndsWith(
        "by 50 um in x; enlarge the field in the machine file (a lower magnification), or write it in several positions of the stage ('fields' in the job)",
        Assert.Throws<CompileException>(() => FieldCheck.Run(Rectangle(-1_000_000, 0, 0, 10), Mapping)).Message,
        StringComparison.Ordinal);

    /// <summary>
    /// A field of 100 by 200 um with x upside down: a code is 100/65536 um in x and 200/65536 um in y, codes end one short of the field at
    /// -50 um and at 100 um. A dot and a line, on a grid of 0.5 nm; the first that is beyond is named, the largest excess told in each axis.
    /// </summary>
    [Theory]
    [InlineData(1, "95 um wide and 150 um high, from (-70, -30) to (25, 120) um", "20.0015 um in x and 20.0031 um in y")]
    [InlineData(-1, "95 um wide and 150 um high, from (-25, -120) to (70, 30) um", "20 um in x and 20 um in y")]
    public void Excess_is_told_in_both_axes(int sign, string bounds, string excess)
    {
        GridPoint At(double x, double y) => new((int)(sign * x * 2000), (int)(sign * y * 2000));
        GridPoint corner = sign > 0 ? At(10, 10) : At(25, 30);
        var figures = new FiguresDocument(
            new FiguresHeader(500, ["pads", "marks"]),
            [
                Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(corner.X, corner.Y, corner.X + 30_000, corner.Y + 40_000)),
                Figure.FromDot(1, DoseFactor.One, At(5, 120)),
                Figure.FromLine(0, DoseFactor.One, At(-70, 10), At(20, -30)),
                Figure.FromLine(0, DoseFactor.One, At(20, -30), At(-60, 110)),
            ]);
        foreach (bool swap in new[] { false, true })
        {
            var mapping = new DacMapping(Mapping.Dac, new Deflection(100_000, 200_000, true, false, swap, AffineCalibration.Identity));
            Assert.Equal(
                $"figure 1 on layer marks at ({sign * 5}, {sign * 120}) um: error PC1601: the pattern is {bounds}, and reaches beyond the field of 100 um by 200 um about its centre by {excess}; it would fit when centred ('--position centred', or 'position: centred' in the job)",
                Assert.Throws<CompileException>(() => FieldCheck.Run(figures, mapping)).Message);
        }
    }

    /// <summary>The nearest whole code decides: half a code of 1525.9 pm beyond the first code at -50 um and the last at 50 um less a code.</summary>
    [Theory]
    [InlineData(-50_000_762, true)]
    [InlineData(-50_000_763, false)]
    [InlineData(49_999_237, true)]
    [InlineData(49_999_238, false)]
    public void Half_a_code_may_be_rounded(int picometres, bool fits)
    {
        foreach (GridPoint place in new[] { new GridPoint(picometres, 0), new GridPoint(0, picometres) })
        {
            var dot = new FiguresDocument(new FiguresHeader(1, ["pads"]), [Figure.FromDot(0, DoseFactor.One, place)]);
            string? message = Record.Exception(() => FieldCheck.Run(dot, Mapping))?.Message;
            Assert.Equal(fits, message is null);
            Assert.True(fits || message!.Contains($" about its centre by 0.0008 um in {(place.X != 0 ? "x" : "y")}; ", StringComparison.Ordinal), message);
        }
    }

    [Theory]
    [InlineData(1_000_000, 10, false)]
    [InlineData(10, 1_000_000, false)]
    [InlineData(999_999, 999_999, true)]
    public void A_pattern_as_large_as_the_field_does_not_fit(int width, int height, bool fits) => Assert.Equal(
        fits,
        Assert.Throws<CompileException>(() => FieldCheck.Run(Rectangle(0, 0, width, height), Mapping)).Message.Contains("it would fit when centred", StringComparison.Ordinal));
}
