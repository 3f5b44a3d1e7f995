using System.Security.Cryptography;
using System.Text;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
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

    // Areas, a line and a dot of it.
    private static readonly Figure[] Part = [.. Pattern[1..3], .. Pattern[6..9]];

    /// <summary>
    /// Which of several ways is taken is a matter of scores, but the same drawing is to give the same bytes from one version to the next:
    /// a change here is one on purpose. Jumps and places passed, the length that the beam moves unexposed in µm, and what all of it is.
    /// </summary>
    [Theory]
    [InlineData("hidden", "12 6 57.404 5379efba")]
    [InlineData("from a parking place", "14 8 146.658 2ebaf574")]
    [InlineData("weak leak", "10 3 76.299 db356622")]
    [InlineData("no reversal", "1364 15 3410.895 cdd69d67")]
    [InlineData("little work", "10 0 50.809 6fe82c58")]
    [InlineData("oblong field whose axes are exchanged", "12 15 67.890 7a65ff8a")]
    [InlineData("no speed limit", "11 1 51.069 5dad4786")]
    [InlineData("strong background", "11 4 55.969 763329fd")]
    [InlineData("slow clock", "14 29 83.355 af9f1ee3")]
    public void Ways_are_those_that_were_found_before(string setting, string before)
    {
        List<Stroke> strokes = setting switch
        {
            "hidden" => RouteCase.Hide(Pattern),
            "from a parking place" => RouteCase.Hide(Pattern, park: (-24_000_000_000, -23_000_000_000)),
            "weak leak" => RouteCase.Hide(Pattern, route: RouteCase.Route with { StrayAmperes = 2e-11 }),
            "no reversal" => RouteCase.Hide(Pattern, RouteCase.Straight with { AllLayers = RouteCase.Straight.AllLayers with { Strategy = FillStrategy.Of("one-way lines") } }),
            "oblong field whose axes are exchanged" => RouteCase.Hide(Pattern, route: RouteCase.Route with
            {
                Scale = RouteCase.Scale with { Deflection = new Deflection(50_000, 36_000, false, true, true, new AffineCalibration(1.02, 0.03, 150, -0.02, 0.97, -90)) },
            }),
            "no speed limit" => RouteCase.Hide(Pattern, route: RouteCase.Route with { Scale = RouteCase.Scale with { Settle = new SettleModel(12e-6, 3e-6, 0) } }),
            "strong background" => RouteCase.Hide(Pattern, route: RouteCase.Route with { Spread = SpreadFunction.TwoGaussian(59, 2500, 1.9).WithSpot(20), OnsetCoulombsPerSquareMetre = 1.3 }),
            "slow clock" => RouteCase.Hide(Pattern, route: RouteCase.Route with { Scale = RouteCase.Scale with { Clock = new Clock(3e5, 4, 1_000_000) } }),
            _ => RouteCase.Hide(Pattern, route: RouteCase.Route with { MostCells = 20_000 }),
        };
        double travel = 0;
        var text = new StringBuilder();
        for (int i = 0; i < strokes.Count; i++)
        {
            Stroke stroke = strokes[i];
            if (stroke.Points == 0)
            {
                text.Append($"{(stroke.Kind == StrokeKind.Via ? "Pass" : stroke.Kind)} {stroke.Figure} {stroke.XFemtometres} {stroke.YFemtometres}\n");
                travel += i == 0 ? 0 : Math.Sqrt(Square(stroke.XFemtometres - strokes[i - 1].EndXFemtometres) + Square(stroke.YFemtometres - strokes[i - 1].EndYFemtometres));
            }
        }

        string digest = Convert.ToHexStringLower(SHA256.HashData(Encoding.ASCII.GetBytes(text.ToString())))[..8];
        string now = $"{strokes.Count(s => s.Kind == StrokeKind.Jump)} {strokes.Count(s => s.Kind == StrokeKind.Via)} {travel * 1e-9:0.000} {digest}";
        Assert.True(before == now, now);

        static double Square(double way) => way * way;
    }

    /// <summary>A dose is as good from the layer as from the figure: the same ways, which other doses change.</summary>
    [Fact]
    public void Doses_of_a_layer_and_of_its_figures_lead_the_same_ways()
    {
        Figure[] Times(int millionths) => [.. Part.Select(figure => figure with { DoseFactor = new DoseFactor((int)((long)figure.DoseFactor.Millionths * millionths / 1_000_000)) })];
        FillOptions ofLayer = RouteCase.Straight with { AllLayers = RouteCase.Straight.AllLayers with { DoseFactor = new DoseFactor(400_000) } };
        FillOptions ofBase = RouteCase.Straight with
        {
            AreaDoseCoulombsPerSquareMetre = 9, LineDoseCoulombsPerMetre = 9, DotChargeCoulombs = 9,
            AllLayers = RouteCase.Straight.AllLayers with
            {
                AreaDoseCoulombsPerSquareMetre = 0.4 * RouteCase.Straight.AreaDoseCoulombsPerSquareMetre,
                LineDoseCoulombsPerMetre = 0.4 * RouteCase.Straight.LineDoseCoulombsPerMetre,
                DotChargeCoulombs = 0.4 * RouteCase.Straight.DotChargeCoulombs,
            },
        };
        string[] ways = [.. Ways(RouteCase.Straight, Times(400_000))];
        Assert.Equal(ways, Ways(ofLayer, Part));
        Assert.Equal(ways, Ways(ofBase, Part));
        Assert.NotEqual(ways, Ways(RouteCase.Straight, Part));

        static IEnumerable<string> Ways(FillOptions options, Figure[] figures) =>
            RouteCase.Hide(figures, options).Where(s => s.Points == 0).Select(s => $"{s.Kind} {s.Figure} {s.XFemtometres} {s.YFemtometres}");
    }

    /// <summary>Nothing is written but what is written straight: only the ways between differ.</summary>
    [Fact]
    public void Hiding_changes_ways_and_nothing_that_is_exposed()
    {
        string[] straight = [.. Exposed(FillCase.Fill(RouteCase.Straight, Pattern))];
        string[] hidden = [.. Exposed(RouteCase.Hide(Pattern))];
        Assert.Equal(straight.Order(StringComparer.Ordinal), hidden.Order(StringComparer.Ordinal));

        // A stroke may be written from its other end.
        static IEnumerable<string> Exposed(List<Stroke> strokes) => strokes.Where(s => s.Points > 0).Select(s =>
            $"{s.Figure} {Math.Min(s.XFemtometres, s.EndXFemtometres)} {Math.Max(s.XFemtometres, s.EndXFemtometres)} {Math.Min(s.YFemtometres, s.EndYFemtometres)} {Math.Max(s.YFemtometres, s.EndYFemtometres)} {s.Points}");
    }
}
