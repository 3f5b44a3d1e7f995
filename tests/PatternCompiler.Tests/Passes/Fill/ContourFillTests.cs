using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill;

public sealed class ContourFillTests
{
    private static readonly LayerFill Inward = FillCase.Options.AllLayers with { Strategy = FillStrategy.InwardContours };

    [Fact]
    public void A_square_is_written_ring_by_ring_with_the_dose_of_each_strip()
    {
        // 60 nm: strips of 2000, 1200 and 400 nm² around 5, 15 and 25 nm; 2.5 C/m².
        List<Stroke> strokes = FillCase.Fill(FillCase.With(Inward), FillCase.Rectangle(0, 0, 600, 600));
        long[] rings = [.. strokes.Where(s => s.Points > 0).GroupBy(s => Depth(s)).OrderBy(g => g.Key).Select(g => g.Sum(s => s.ChargeZeptocoulombs))];
        Assert.Equal([5_000_000, 3_000_000, 1_000_000], rings);
        Assert.Equal(1, strokes.Count(s => s.Kind == StrokeKind.Jump));

        static long Depth(Stroke s) => new[] { s.XFemtometres, s.YFemtometres, 60_000_000 - s.XFemtometres, 60_000_000 - s.YFemtometres }.Min();
    }

    [Fact]
    public void Contour_then_lines_draws_the_edge_first()
    {
        List<Stroke> strokes = FillCase.Fill(FillCase.With(Inward with { Strategy = FillStrategy.ContourThenLines }), FillCase.Rectangle(0, 0, 600, 600));
        List<Stroke> exposures = [.. strokes.Where(s => s.Points > 0)];
        Assert.All(exposures.Take(4), s => Assert.Contains(5_000_000L, new[] { s.XFemtometres, s.YFemtometres, 60_000_000 - s.XFemtometres, 60_000_000 - s.YFemtometres }));
        Assert.Equal(5_000_000, exposures.Take(4).Sum(s => s.ChargeZeptocoulombs));
        Assert.Equal(9_000_000, exposures.Sum(s => s.ChargeZeptocoulombs));
        Assert.All(exposures.Skip(4), s => Assert.Equal(s.YFemtometres, s.EndYFemtometres));
    }

    [Fact]
    public void Abutting_figures_are_one_area_and_holes_have_contours_too()
    {
        // A square ring of four rectangles, 20 nm wide: one contour outside and one inside, 20 nm apart less twice 5 nm.
        List<Stroke> strokes = FillCase.Fill(
            FillCase.With(Inward),
            FillCase.Rectangle(0, 0, 1000, 200),
            FillCase.Rectangle(0, 200, 200, 600),
            FillCase.Rectangle(800, 200, 200, 600),
            FillCase.Rectangle(0, 800, 1000, 200));
        Assert.Equal(2.5 * 6400 * 1000, strokes.Sum(s => s.ChargeZeptocoulombs), 2.0);
        Assert.Equal(8, strokes.Count(s => s.Points > 0));
        Assert.All(strokes, s => Assert.Equal(0, s.Figure));
    }

    [Fact]
    public void The_whole_charge_is_written_whatever_the_shape()
    {
        FillCase.Trapezoids.Sample(
            figure =>
            {
                decimal asked = 25m * figure.DoseFactor.Millionths / 1_000_000m * FillCase.AreaOf(figure.Shape);
                decimal written = FillCase.Fill(FillCase.With(Inward), figure).Sum(s => s.ChargeZeptocoulombs);

                // Corners are rounded to the grid, half a step at most.
                return Math.Abs(written - asked) <= 25m * 3 * 40_000 && Math.Abs(written - asked) <= 0.05m * asked + 25m * 3 * 4_000;
            },
            iter: 60);
    }
}
