using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Route;
using PatternCompiler.Tests.Passes.Fill;

namespace PatternCompiler.Tests.Passes.Route;

public sealed class JumpRouterTests
{
    private static readonly List<Stroke> Hidden = RouteCase.Hide(RouteCase.Combs);

    [Fact]
    public void Same_figures_same_strokes() => Assert.Equal(Hidden, RouteCase.Hide(RouteCase.Combs));

    [Fact]
    public void Passes_lead_to_jumps()
    {
        Assert.Contains(Hidden, stroke => stroke.Kind == StrokeKind.Via);
        Assert.All(Enumerable.Range(0, Hidden.Count).Where(i => Hidden[i].Kind == StrokeKind.Via), i => Assert.True(Hidden[i + 1].IsBlanked));
    }

    [Fact]
    public void Without_work_left_jumps_stay_straight()
    {
        RouteOptions idle = RouteCase.Route with { MostCells = 0 };
        Assert.Equal(FillCase.Fill(RouteCase.Straight, RouteCase.Combs), RouteCase.Hide(RouteCase.Combs, route: idle));
    }

    [Fact]
    public void A_beam_that_is_nearly_off_jumps_straight()
    {
        // A leak of 1e-6 prints nothing.
        RouteOptions tight = RouteCase.Route with { StrayAmperes = 1e-15 };
        Assert.Equal(FillCase.Fill(RouteCase.Straight, RouteCase.Combs), RouteCase.Hide(RouteCase.Combs, route: tight));
    }

    /// <summary>
    /// Jumps of less than six standard deviations of the beam, which is √(59² + 20²/(4·ln 2))/√2 nm wide, print no line and are not followed: they
    /// take nothing of what the bare area may still take.
    /// </summary>
    [Theory]
    [InlineData(5.9, false)]
    [InlineData(6.1, true)]
    public void Short_jumps_are_not_followed(double deviations, bool isFollowed)
    {
        double sigma = Math.Sqrt(59 * 59 + 20 * 20 / (4 * Math.Log(2))) / Math.Sqrt(2);
        foreach ((double x, double y) in new[] { (1.0, 0.0), (0.0, -1.0), (-0.6, 0.8) })
        {
            var area = new RouteArea(
                new FiguresDocument(new FiguresHeader(100, ["pattern"]), [FillCase.Rectangle(-10_000, -100_000, 30_000, 20_000), FillCase.Rectangle(-10_000, 80_000, 30_000, 20_000)]),
                [3.0, 3.0],
                RouteCase.Route,
                (-24_000, -24_000, 24_000, 24_000));
            double before = Left();
            var output = new CollectingSink<StrokesHeader, Stroke>();
            Stroke[] jumps = [Stroke.Jump(0, 0, 0), Stroke.Jump(1, Femtometres(x), Femtometres(y))];
            new JumpRouter(area, RouteCase.Route with { MostCells = 0 }, output, CancellationToken.None).Write(jumps);
            Assert.Equal(jumps, output.Items);
            Assert.Equal(isFollowed, Left() < before);

            long Femtometres(double part) => (long)(part * deviations * sigma * 1e6);

            // The largest dose of a track in the middle of the jump that does not come close to printing.
            double Left()
            {
                int cell = area.CellAt(x * 3 * sigma, y * 3 * sigma);
                (double low, double high) = (0, 10);
                for (int i = 0; i < 20; i++)
                {
                    double middle = (low + high) / 2;
                    (low, high) = area.ComesClose(cell, middle) ? (low, middle) : (middle, high);
                }

                return low;
            }
        }
    }

    [Fact]
    public void The_beam_waits_at_its_place_before_and_after()
    {
        List<Stroke> strokes = RouteCase.Hide(RouteCase.Combs, park: (-24_000_000_000, -23_000_000_000));
        foreach (Stroke end in new[] { strokes[0], strokes[^1] })
        {
            Assert.Equal((StrokeKind.Jump, -24_000_000_000, -23_000_000_000), (end.Kind, end.XFemtometres, end.YFemtometres));
        }
    }
}
