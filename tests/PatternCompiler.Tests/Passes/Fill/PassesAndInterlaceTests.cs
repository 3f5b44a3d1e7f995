using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill;

public sealed class PassesAndInterlaceTests
{
    private static readonly LayerFill Lines = FillCase.Options.AllLayers;
    private static readonly CodeLattice Lattice = new(new CodeAxis(0, 8e6), new CodeAxis(0, 4e6));

    [Theory]
    [InlineData("lines")]
    [InlineData("raster")]
    public void Passes_repeat_the_layer_with_equal_parts_of_the_dose(string strategy)
    {
        List<Stroke> strokes = FillCase.Fill(
            FillCase.With(Lines with { Strategy = FillStrategy.Of(strategy), Passes = 3 }), FillCase.Rectangle(0, 0, 100, 100), FillCase.Rectangle(300, 0, 100, 100));
        Assert.Equal([0, 1, 0, 1, 0, 1], strokes.Where(s => s.Points > 0).Select(s => s.Figure));
        Assert.Equal(500_000, strokes.Sum(s => s.ChargeZeptocoulombs), 1.0);
        Assert.All(strokes.Where(s => s.Points > 0), s => Assert.InRange(s.ChargeZeptocoulombs, 83_333, 83_334));
    }

    [Fact]
    public void Staggered_passes_lie_evenly_between_minus_and_plus_half_a_code()
    {
        FillOptions options = FillCase.With(Lines with { Passes = 4, StaggersPasses = true }) with { Lattice = Lattice };
        List<Stroke> dots = [.. FillCase.Fill(options, FillCase.Rectangle(0, 0, 100, 100)).Where(s => s.Points > 0)];
        Assert.Equal([2_000_000, 4_000_000, 6_000_000, 8_000_000], dots.Select(s => s.XFemtometres));
        Assert.Equal([3_500_000, 4_500_000, 5_500_000, 6_500_000], dots.Select(s => s.YFemtometres));
    }

    [Fact]
    public void Staggering_needs_a_machine_and_rounding()
    {
        Figure figure = FillCase.Rectangle(0, 0, 100, 100);
        LayerFill staggered = Lines with { Passes = 2, StaggersPasses = true };
        Assert.Equal(
            "error PC1202: the passes of layer pattern are to be staggered by parts of a code, but no machine says how large a code is; name the machine, or do not stagger the passes",
            Assert.Throws<CompileException>(() => FillCase.Fill(FillCase.With(staggered), figure)).Message);
        Assert.Equal(
            "error PC1203: the passes of layer pattern are to be staggered, but its lines or points stand on codes already; choose the rounded placement, or do not stagger the passes",
            Assert.Throws<CompileException>(() => FillCase.Fill(
                FillCase.With(staggered with { LinePitch = Spacing.FromCodes(1) }) with { Lattice = Lattice }, figure)).Message);
        Assert.Equal(
            "error PC1203: the number of passes of layer pattern is 0; give a number from 1 to 1000",
            Assert.Throws<CompileException>(() => FillCase.Fill(FillCase.With(Lines with { Passes = 0 }), figure)).Message);
    }

    [Theory]
    [InlineData(1, 1, null)]
    [InlineData(1000, 1, null)]
    [InlineData(1, 1000, null)]
    [InlineData(1001, 1, "number of passes of layer pattern is 1001")]
    [InlineData(1, 0, "interlace of layer pattern is 0")]
    [InlineData(1, 1001, "interlace of layer pattern is 1001")]
    public void Passes_and_interlace_are_from_1_to_1000(int passes, int interlace, string? fault)
    {
        LayerFill fill = Lines with { Passes = passes, Interlace = interlace };
        string? message = Record.Exception(() => FillCase.Fill(FillCase.With(fill), FillCase.Rectangle(0, 0, 100, 100)))?.Message;
        Assert.Equal(fault is null ? null : $"error PC1203: the {fault}; give a number from 1 to 1000", message);
    }

    [Theory]
    [InlineData("lines")]
    [InlineData("raster")]
    public void Interlacing_writes_every_nth_line_first(string strategy)
    {
        List<Stroke> strokes = FillCase.Fill(
            FillCase.With(Lines with { Strategy = FillStrategy.Of(strategy), Interlace = 3 }), FillCase.Rectangle(0, 0, 200, 700));
        Assert.Equal([0, 3, 6, 1, 4, 2, 5], strokes.Where(s => s.Points > 0).Select(s => s.YFemtometres / 10_000_000));
    }

    [Fact]
    public void A_layer_can_have_base_doses_of_its_own()
    {
        LayerFill fill = Lines with { AreaDoseCoulombsPerSquareMetre = 5, LineDoseCoulombsPerMetre = 2e-7, DotChargeCoulombs = 3e-15 };
        Assert.Equal(
            [500_000L, 2_000_000L, 3_000_000L],
            FillCase.Fill(
                FillCase.With(fill),
                FillCase.Rectangle(0, 0, 100, 100),
                Figure.FromLine(0, DoseFactor.One, new(0, 0), new(100, 0)),
                Figure.FromDot(0, DoseFactor.One, new(0, 0))).Where(s => s.Points > 0).Select(s => s.ChargeZeptocoulombs));
    }
}
