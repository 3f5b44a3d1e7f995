using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Route;
using PatternCompiler.Tests.Passes.Fill;

namespace PatternCompiler.Tests.Passes.Route;

public sealed class JumpRouterTests
{
    [Fact]
    public void Same_figures_same_strokes() =>
        Assert.Equal(RouteCase.Hide(RouteCase.Combs), RouteCase.Hide(RouteCase.Combs));

    [Fact]
    public void Passes_lead_to_jumps()
    {
        List<Stroke> strokes = RouteCase.Hide(RouteCase.Combs);
        Assert.Contains(strokes, stroke => stroke.Kind == StrokeKind.Via);
        Assert.All(Enumerable.Range(0, strokes.Count).Where(i => strokes[i].Kind == StrokeKind.Via), i => Assert.True(strokes[i + 1].IsBlanked));
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
