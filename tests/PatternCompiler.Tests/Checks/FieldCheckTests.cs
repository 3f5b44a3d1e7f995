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

    [Fact]
    public void A_pattern_off_centre_is_told_to_be_centred() => Assert.Equal(
        "figure 0 on layer pads: error PC1601: the pattern is 80 um wide and 60 um high, from (0, 0) to (80, 60) um, and reaches beyond the field of 100 um by 100 um about its centre by 30.0015 um in x and 10.0015 um in y; it would fit when centred ('position: centred' in the job)",
        Assert.Throws<CompileException>(() => FieldCheck.Run(Rectangle(0, 0, 800_000, 600_000), Mapping)).Message);

    [Fact]
    public void A_pattern_that_is_too_large_needs_a_larger_field() => Assert.EndsWith(
        "by 50 um in x; enlarge the field in the machine file (a lower magnification), or write it in several positions of the stage ('fields' in the job)",
        Assert.Throws<CompileException>(() => FieldCheck.Run(Rectangle(-1_000_000, 0, 0, 10), Mapping)).Message,
        StringComparison.Ordinal);
}
