using CsCheck;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill;

public sealed class RasterScanTests
{
    private static readonly LayerFill Raster = FillCase.Options.AllLayers with { Strategy = FillStrategy.Of("raster") };

    [Fact]
    public void A_partly_covered_pixel_gets_its_part_of_the_dose()
    {
        // The box is 40 nm by 10 nm, pixels of 10 nm; the second figure reaches from 15 to 40 nm.
        List<Stroke> strokes = FillCase.Fill(FillCase.With(Raster), FillCase.Rectangle(0, 0, 50, 100), FillCase.Rectangle(150, 0, 250, 100));
        Assert.Equal(
            [
                Stroke.Jump(0, 5_000_000, 5_000_000),
                Stroke.Dot(0, 5_000_000, 5_000_000, 125_000),
                Stroke.Dot(1, 15_000_000, 5_000_000, 125_000),
                Stroke.Line(1, 25_000_000, 5_000_000, 35_000_000, 5_000_000, 2, 500_000),
            ],
            strokes);
    }

    [Fact]
    public void The_centre_rule_switches_pixels_on_or_off()
    {
        List<Stroke> strokes = FillCase.Fill(
            FillCase.With(Raster with { Placement = CodePlacement.Centre }), FillCase.Rectangle(0, 0, 40, 100), FillCase.Rectangle(140, 0, 260, 100));
        Assert.Equal([Stroke.Jump(1, 15_000_000, 5_000_000), Stroke.Line(1, 15_000_000, 5_000_000, 35_000_000, 5_000_000, 3, 750_000)], strokes);
    }

    [Theory]
    [InlineData(false, FillDirection.X)]
    [InlineData(false, FillDirection.Y)]
    [InlineData(true, FillDirection.X)]
    public void The_raster_as_a_whole_has_the_charge_of_its_figures(bool onCodes, FillDirection direction)
    {
        LayerFill fill = Raster with { Direction = direction, LinePitch = Spacing.FromNanometres(53), PointStep = Spacing.FromNanometres(71) };
        FillOptions options = FillCase.With(onCodes ? fill with { LinePitch = Spacing.FromCodes(2), PointStep = Spacing.FromCodes(3) } : fill) with
        {
            Lattice = new CodeLattice(new CodeAxis(3e6, 24_414_062.5), new CodeAxis(5e6, 24_414_062.5)),
        };
        FillCase.Trapezoids.Array[1, 6].Sample(
            figures =>
            {
                decimal asked = figures.Sum(f => 25m * f.DoseFactor.Millionths / 1_000_000m * FillCase.AreaOf(f.Shape));
                return Math.Abs(FillCase.Fill(options, figures).Sum(s => s.ChargeZeptocoulombs) - asked) <= 1 + asked * 1e-12m;
            },
            iter: Iterations.Usually(100));
    }

    [Fact]
    public void Rows_run_back_and_forth_or_one_way()
    {
        Figure square = FillCase.Rectangle(0, 0, 200, 200);
        Assert.Equal([false, true], FillCase.Fill(FillCase.With(Raster), square).Where(IsLine).Select(RunsBack));
        Assert.Equal([false, false], FillCase.Fill(FillCase.With(Raster with { Strategy = FillStrategy.Of("one-way raster") }), square).Where(IsLine).Select(RunsBack));

        static bool IsLine(Stroke s) => s.Kind == StrokeKind.Line;
        static bool RunsBack(Stroke s) => s.EndXFemtometres < s.XFemtometres;
    }

    /// <summary>
    /// A tenth of a pixel is left of the first figure in the second row, far from any neighbour: 25,000.4 or 25,000.6 zC go to the pixel below it,
    /// as 25,000 or 25,001, along either axis.
    /// </summary>
    [Theory]
    [InlineData(1_000_016, 250_004 + 25_000)]
    [InlineData(1_000_024, 250_006 + 25_001)]
    public void What_waits_when_a_figure_ends_goes_to_its_last_pixel_rounded(int millionths, long charge)
    {
        foreach (FillDirection direction in (FillDirection[])[FillDirection.X, FillDirection.Y])
        {
            Figure first = direction == FillDirection.X ? FillCase.Rectangle(0, 0, 100, 110) : FillCase.Rectangle(0, 0, 110, 100);
            Figure far = direction == FillDirection.X ? FillCase.Rectangle(300, 0, 100, 300) : FillCase.Rectangle(0, 300, 300, 100);
            List<Stroke> strokes = FillCase.Fill(
                FillCase.With(Raster with { Direction = direction }) with { SmallestPointChargeCoulombs = 5e-17 }, first with { DoseFactor = new DoseFactor(millionths) }, far);
            Assert.Equal(charge, Assert.Single(strokes, s => s.Figure == 0 && s.Points > 0).ChargeZeptocoulombs);
            Assert.Equal(750_000, strokes.Where(s => s.Figure == 1).Sum(s => s.ChargeZeptocoulombs));
        }
    }

    [Fact]
    public void A_pixel_below_the_shortest_dwell_gives_its_dose_to_its_neighbour()
    {
        // 0.1 of a pixel at the left, all of the next: together 1.1 where the beam cannot do less than 0.2.
        List<Stroke> strokes = FillCase.Fill(
            FillCase.With(Raster) with { SmallestPointChargeCoulombs = 5e-17 }, FillCase.Rectangle(90, 0, 110, 100), FillCase.Rectangle(0, 0, 10, 100));
        Assert.Equal(300_000, strokes.Sum(s => s.ChargeZeptocoulombs));
        Assert.All(strokes.Where(s => s.Points > 0), s => Assert.True(s.ChargeZeptocoulombs >= 50_000 || s.Figure == 1));
    }
}
