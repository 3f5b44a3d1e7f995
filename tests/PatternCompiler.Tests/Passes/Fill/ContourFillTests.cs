using CsCheck;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill;

public sealed class ContourFillTests
{
    private static readonly LayerFill Inward = FillCase.Options.AllLayers with { Strategy = FillStrategy.Of("inward contours") };

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
        List<Stroke> strokes = FillCase.Fill(FillCase.With(Inward with { Strategy = FillStrategy.Of("contour then lines") }), FillCase.Rectangle(0, 0, 600, 600));
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

    /// <summary>The ring of the second square starts at the corner nearest to where the first one ended, whichever side it lies on.</summary>
    [Theory]
    [InlineData(2000, 1500)]
    [InlineData(-2000, 1500)]
    [InlineData(2000, -1500)]
    [InlineData(-2500, -1500)]
    [InlineData(300, 2500)]
    [InlineData(300, -2500)]
    public void A_ring_starts_at_its_nearest_corner(int x, int y)
    {
        foreach ((int offX, int offY) in new[] { (0, 0), (-9000, -7000), (5000, -8000), (-6000, 4000) })
        {
            List<Stroke> strokes = FillCase.Fill(FillCase.With(Inward), FillCase.Rectangle(offX, offY, 600, 600), FillCase.Rectangle(offX + x, offY + y, 600, 600));
            int jump = strokes.FindLastIndex(s => s.Kind == StrokeKind.Jump);
            Stroke last = strokes[jump - 1];

            // Corners of the outermost contour, 5 nm inside the figure that is written second.
            bool isFirst = strokes[jump + 1].Figure == 0;
            long left = (offX + (isFirst ? 0 : x) + 50) * 100_000L;
            long bottom = (offY + (isFirst ? 0 : y) + 50) * 100_000L;
            (long X, long Y)[] corners = [(left, bottom), (left + 50_000_000, bottom), (left, bottom + 50_000_000), (left + 50_000_000, bottom + 50_000_000)];
            (long X, long Y) nearest = corners.MinBy(c => Math.Pow(c.X - last.EndXFemtometres, 2) + Math.Pow(c.Y - last.EndYFemtometres, 2));
            Assert.InRange(Math.Abs(strokes[jump].XFemtometres - nearest.X) + Math.Abs(strokes[jump].YFemtometres - nearest.Y), 0, 10_000_000);
        }
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
            iter: Iterations.Usually(60));
    }
}
