using System.Security.Cryptography;
using System.Text;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Tests.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Route;

/// <summary>A pattern that is alike in no axis, with a slope, a line and dots, some of them out of reach of any exposed area.</summary>
public sealed class RoutedPatternTests
{
    private static readonly Figure[] Pattern =
    [
        .. RouteCase.Combs[..4],
        FillCase.Rectangle(90_000, -120_000, 25_000, 150_000),
        FillCase.Rectangle(90_000, 30_000, 60_000, 12_000),
        Figure.FromTrapezoid(0, new DoseFactor(1_300_000), new Trapezoid(60_000, 110_000, new GridEdge(new(-140_000, 60_000), new(-120_000, 110_000)), new GridEdge(new(-60_000, 60_000), new(-100_000, 110_000)))),
        Figure.FromLine(0, DoseFactor.One, new GridPoint(-150_000, -90_000), new GridPoint(-110_000, -30_000)),
        Figure.FromDot(0, DoseFactor.One, new GridPoint(-150_000, 10_000)),
        Figure.FromDot(0, DoseFactor.One, new GridPoint(160_000, -160_000)),
    ];

    /// <summary>
    /// Which of several ways is taken is a matter of scores, but the same drawing is to give the same bytes from one version to the next:
    /// a change here is one on purpose. Jumps and passes, the length that the beam moves unexposed in µm, and what all of it is.
    /// </summary>
    [Theory]
    [InlineData("hidden", "12 6 57.404 5379efba")]
    [InlineData("from a parking place", "14 8 146.658 2ebaf574")]
    [InlineData("weak leak", "10 3 76.299 db356622")]
    [InlineData("no reversal", "1364 15 3410.895 cdd69d67")]
    [InlineData("little work", "10 0 50.809 6fe82c58")]
    public void Ways_are_those_that_were_found_before(string setting, string before)
    {
        FillOptions options = setting switch
        {
            "hidden" => RouteCase.Hidden,
            "from a parking place" => RouteCase.Hidden with { Park = (-24_000_000_000, -23_000_000_000) },
            "weak leak" => RouteCase.Hidden with { Route = RouteCase.Route with { StrayAmperes = 2e-11 } },
            "no reversal" => RouteCase.Hidden with { AllLayers = RouteCase.Hidden.AllLayers with { Strategy = FillStrategy.OneWayLines } },
            _ => RouteCase.Hidden with { Route = RouteCase.Route with { MostCells = 20_000 } },
        };
        List<Stroke> strokes = FillCase.Fill(options, Pattern);
        double travel = 0;
        var text = new StringBuilder();
        for (int i = 0; i < strokes.Count; i++)
        {
            Stroke stroke = strokes[i];
            if (stroke.Points == 0)
            {
                text.Append($"{stroke.Kind} {stroke.Figure} {stroke.XFemtometres} {stroke.YFemtometres}\n");
                travel += i == 0 ? 0 : Math.Sqrt(Square(stroke.XFemtometres - strokes[i - 1].EndXFemtometres) + Square(stroke.YFemtometres - strokes[i - 1].EndYFemtometres));
            }
        }

        string digest = Convert.ToHexStringLower(SHA256.HashData(Encoding.ASCII.GetBytes(text.ToString())))[..8];
        string now = $"{strokes.Count(s => s.Kind == StrokeKind.Jump)} {strokes.Count(s => s.Kind == StrokeKind.Pass)} {travel * 1e-9:0.000} {digest}";
        Assert.True(before == now, now);

        static double Square(double way) => way * way;
    }

    /// <summary>Nothing is written but what is written straight: only the ways between differ.</summary>
    [Fact]
    public void Hiding_changes_ways_and_nothing_that_is_exposed()
    {
        string[] straight = [.. Exposed(RouteCase.Straight)];
        string[] hidden = [.. Exposed(RouteCase.Hidden)];
        Assert.Equal(straight.Order(StringComparer.Ordinal), hidden.Order(StringComparer.Ordinal));

        // A stroke may be written from its other end.
        static IEnumerable<string> Exposed(FillOptions options) => FillCase.Fill(options, Pattern).Where(s => s.Points > 0).Select(s =>
            $"{s.Figure} {Math.Min(s.XFemtometres, s.EndXFemtometres)} {Math.Max(s.XFemtometres, s.EndXFemtometres)} {Math.Min(s.YFemtometres, s.EndYFemtometres)} {Math.Max(s.YFemtometres, s.EndYFemtometres)} {s.Points}");
    }
}
