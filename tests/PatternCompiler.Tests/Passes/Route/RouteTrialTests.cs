using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Route;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Tests.Passes.Fill;

namespace PatternCompiler.Tests.Passes.Route;

/// <summary>
/// Judging a way, on a field of 50 by 80 µm with 12 nm/µs, τ = 4 µs and waits of at least 10 µs. The beam has σ = √(59² + 20²/(4·ln 2))/√2 nm
/// (range and spot added in squares), and of its energy 1/1.74 stays near.
/// </summary>
public sealed class RouteTrialTests
{
    private const double NearPart = 1 / 1.74;
    private static readonly double Sigma = RouteCase.Spread.Terms[0].RangeNanometres / Math.Sqrt(2);
    private static readonly Deflection Oblong = new(50_000, 80_000, false, false, false, AffineCalibration.Identity);

    private static readonly RouteOptions Options = RouteCase.Route with { Scale = RouteCase.Scale with { Deflection = Oblong }, StrayAmperes = 5e-9 };

    // Two bars 16 µm apart, 3 µm wide and 2 µm high: everything between them lies within the pattern's bounds.
    private static readonly Figure[] Bars = [FillCase.Rectangle(-10_000, -100_000, 30_000, 20_000), FillCase.Rectangle(-10_000, 80_000, 30_000, 20_000)];

    private static RouteArea Ground(RouteOptions? options = null, bool isTurned = false)
    {
        Figure[] figures = isTurned ? [FillCase.Rectangle(-100_000, -10_000, 20_000, 30_000), FillCase.Rectangle(80_000, -10_000, 20_000, 30_000)] : Bars;
        return new(new FiguresDocument(new FiguresHeader(100, ["pattern"]), figures), [3.0, 3.0], options ?? Options, (-24_000, -39_000, 24_000, 39_000));
    }

    private static RouteOptions With(SettleModel settle) => Options with { Scale = Options.Scale with { Settle = settle } };

    [Fact]
    public void The_dose_of_a_track_is_charge_per_length_over_the_width_of_the_beam()
    {
        Assert.Equal(1, new RouteTrial(Ground(), Options).DoseAtSpeed(7) / (5e-9 / 12e-3 / (Sigma * 1e-9 * Math.Sqrt(2 * Math.PI))), 1e-9);

        // Without a speed limit a jump of 6 µm begins at 6 µm in a time constant.
        RouteOptions exponential = With(new SettleModel(10e-6, 4e-6, 0));
        Assert.Equal(1, new RouteTrial(Ground(), exponential).DoseAtSpeed(6000) / (5e-9 / (6e-6 / 4e-6) / (Sigma * 1e-9 * Math.Sqrt(2 * Math.PI))), 1e-9);
    }

    /// <summary>
    /// 30 µm in both axes: with 50/65536 µm a code in x and 80/65536 in y the finer one takes longer to come within half a code:
    /// d/v − τ + τ·ln(v·τ/(code/2)). What rests there for that time prints as far as its Gaussian is above half the onset.
    /// </summary>
    [Fact]
    public void A_rest_prints_as_far_as_its_gaussian_reaches_half_the_onset()
    {
        double halfCode = 50_000.0 / 65536 / 2;
        double codes = Math.Ceiling(30_000 / (2 * halfCode)) * 2 * halfCode;
        double seconds = Math.Ceiling((codes / 12e6 - 4e-6 + 4e-6 * Math.Log(48 / halfCode)) * 1e7) / 1e7;
        double peak = NearPart * 5e-9 * seconds / (2 * Math.PI * Sigma * Sigma * 1e-18);
        Assert.Equal(Sigma * Math.Sqrt(2 * Math.Log(peak / 0.5)), new RouteTrial(Ground(), Options).DepthForRest(30_000), 1e-6);

        // With 1/2000 of the current the peak stays below half the onset.
        Assert.Equal(0, new RouteTrial(Ground(), Options with { StrayAmperes = 5e-9 * 0.499 / peak }).DepthForRest(30_000));
        Assert.NotEqual(0, new RouteTrial(Ground(), Options with { StrayAmperes = 5e-9 * 0.501 / peak }).DepthForRest(30_000));
    }

    /// <summary>A twentieth of what exp(−10/4) leaves may be a quarter of σ.</summary>
    [Fact]
    public void The_beam_may_arrive_at_speed_from_so_far_that_an_error_of_a_twentieth_settles()
    {
        double most = 0.25 * Sigma / 0.05 / Math.Exp(-2.5);
        var trial = new RouteTrial(Ground(), Options);
        Assert.True(trial.MayArriveAtSpeed(0.9999 * most));
        Assert.False(trial.MayArriveAtSpeed(1.0001 * most));
        Assert.True(new RouteTrial(Ground(), With(new SettleModel(10e-6, 0, 12e6))).MayArriveAtSpeed(1e9));
    }

    /// <summary>A pass is aimed at 4/3 of its way, or as many twenty-fourths less as it takes to stay in the field of ±25 by ±40 µm.</summary>
    [Theory]
    [InlineData(0, 0, 9_000, 15_000, 12_000, 20_000)]
    [InlineData(3_000, -6_000, 0, 0, -1_000, 2_000)]
    [InlineData(0, 0, 19_200, 0, 24_800, 0)] // 4/3 would be 25.6, 31/24 are 24.8 µm
    [InlineData(0, 0, -19_200, 0, -24_800, 0)]
    [InlineData(0, 0, 0, 31_200, 0, 39_000)] // 4/3 are 41.6, 31/24 are 40.3, 30/24 are 39 µm
    [InlineData(0, 0, 0, -31_200, 0, -39_000)]
    [InlineData(0, 0, 24_990, 3_000, 24_990, 3_000)]
    public void A_pass_is_aimed_beyond_its_place_within_the_field(double fromX, double fromY, double toX, double toY, double aimX, double aimY)
    {
        RouteStep step = new RouteTrial(Ground(), Options).PassAt((fromX, fromY), (toX, toY));
        Assert.True(step.IsPassed);
        Assert.Equal(aimX, step.X, 1e-6);
        Assert.Equal(aimY, step.Y, 1e-6);
    }

    /// <summary>3/4 of 12 µm at 12 nm/µs, rounded up to ticks of 0.1 µs, is done after 750 µs; y is there before.</summary>
    [Fact]
    public void After_a_pass_the_beam_is_where_the_slower_axis_has_gone_three_quarters_of_its_way()
    {
        var trial = new RouteTrial(Ground(), Options);
        Assert.Equal((500.0, -700.0), trial.After((1, 2), new RouteStep(500, -700, false)));
        (double x, double y) = trial.After((1000, -3000), new RouteStep(13_000, -2000, true));
        Assert.Equal(10_000, x, 1.3);
        Assert.Equal(-2000, y, 1e-6);
        (x, y) = trial.After((1000, -3000), new RouteStep(2000, 9000, true));
        Assert.Equal(2000, x, 1e-6);
        Assert.Equal(6000, y, 1.3);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void What_prints_is_as_long_as_the_bare_area_on_the_way(bool isTurned)
    {
        RouteArea area = Ground(isTurned: isTurned);
        var trial = new RouteTrial(area, Options);
        double cells = 3 * area.CellNanometres;

        // From bar to bar: 16 µm, all of it inside.
        RouteScore across = trial.Judge(Place(500, 9000), [Step(500, -9000)]);
        Assert.InRange(across.InsideNanometres, 16_000 - 2 * cells, 16_000 + cells);
        Assert.Equal(0, across.OutsideNanometres);
        Assert.Equal(across.InsideNanometres, across.MarginalNanometres, cells);
        Assert.Equal(across.InsideNanometres + across.OutsideNanometres / 16 + across.MarginalNanometres / 8, across.Harm, 1e-9);

        // Beside them, 1.5 µm from the bounds: all of it outside, and of little weight where it is marginal.
        RouteScore around = trial.Judge(Place(3500, 9000), [Step(3500, -9000)]);
        Assert.Equal(0, around.InsideNanometres);
        Assert.InRange(around.OutsideNanometres, 18_000 - 2 * cells, 18_000);
        Assert.Equal(around.OutsideNanometres / 16, around.MarginalNanometres, cells);

        // Over one bar nothing prints: the area is exposed, and so is the place where the beam rests, deep inside it.
        Assert.Equal(0, trial.Judge(Place(-500, 9000), [Step(1500, 9000)]).Harm);

        // A score that is bad enough ends the trial.
        long looks = trial.Looks;
        Assert.True(trial.Judge(Place(500, 9000), [Step(500, 0), Step(500, -9000)], 100).Harm > 100);
        Assert.InRange(trial.Looks - looks, 1, 12_000 / area.CellNanometres);

        (double, double) Place(double x, double y) => isTurned ? (y, x) : (x, y);
        RouteStep Step(double x, double y) => isTurned ? new RouteStep(y, x, false) : new RouteStep(x, y, false);
    }

    /// <summary>A beam that rests 20 nm inside the edge prints beyond it: its radius less the depth.</summary>
    [Fact]
    public void A_rest_near_an_edge_prints_what_reaches_beyond_it()
    {
        RouteArea area = Ground();
        var trial = new RouteTrial(area, Options);
        var strong = new RouteTrial(area, Options with { StrayAmperes = 5e-8 });
        double Rest(double y) => strong.Judge((500, 9000), [new RouteStep(500, y, false)]).InsideNanometres;

        // Settled within half a code after d/v - τ + τ·ln(v·τ/(code/2)), near its goal since (d - v·τ)/v + τ·ln(v·τ/σ).
        double near = 4e-6 * Math.Log(Sigma / (50_000.0 / 65536 / 2));
        double radius = Sigma * Math.Sqrt(2 * Math.Log(NearPart * 5e-8 * near / (2 * Math.PI * Sigma * Sigma * 1e-18) / 0.5));
        Assert.Equal(radius, Rest(7900), 2.0);
        Assert.Equal(radius - area.CellNanometres, Rest(8010), 2.0);
        Assert.Equal(0, Rest(8110));
        Assert.Equal(0, Rest(8600));

        // Outside the bounds a rest does no harm.
        Assert.Equal(0, strong.Judge((500, 10_400), [new RouteStep(900, 10_600, false)]).InsideNanometres);

        // What was laid counts: half of what the area may take is laid along the way, then the same way prints where it did not.
        RouteOptions weak = Options with { StrayAmperes = 1.2e-9 };
        var faint = new RouteTrial(area, weak);
        RouteStep[] way = [new RouteStep(1500, -9000, false)];
        Assert.InRange(faint.Judge((1500, 9000), way).InsideNanometres, 0, 500);
        faint.Lay((1500, 9000), way);
        faint.Lay((1500, 9000), way);
        Assert.InRange(faint.Judge((1500, 9000), way).InsideNanometres, 15_500, 16_500);

        // ... and not beside it.
        Assert.InRange(faint.Judge((500, 9000), [new RouteStep(500, -9000, false)]).InsideNanometres, 0, 500);
    }

    /// <summary>With passes a way is judged as a slower and a faster deflection would take it, too: the bends are elsewhere then.</summary>
    [Fact]
    public void A_way_with_passes_is_judged_at_three_speeds()
    {
        RouteArea area = Ground();
        var trial = new RouteTrial(area, Options);
        RouteStep[] straight = [new RouteStep(500, -9000, false)];
        long before = trial.Looks;
        trial.Judge((500, 9000), straight);
        long once = trial.Looks - before;
        before = trial.Looks;
        trial.Judge((500, 9000), [trial.PassAt((500, 9000), (500, -9000)), straight[0]]);
        Assert.InRange((trial.Looks - before) / (double)once, 2.8, 3.5);
        before = trial.Looks;
        trial.Judge((500, 9000), [trial.PassAt((500, 9000), (500, -9000)), straight[0]], 1);
        Assert.InRange((trial.Looks - before) / (double)once, 0.8, 1.2);
    }

    /// <summary>Each stretch longer than the beam is wide counts, and only those: 100 nm here.</summary>
    [Fact]
    public void Harm_is_added_up_stretch_by_stretch()
    {
        var harm = new HarmAlongWay(100);
        harm.Add(60, false, true, true);
        harm.Add(40, false, true, true);
        harm.Add(5, false, false, false);
        Assert.Equal(new RouteScore(0, 0, 0), harm.ToScore());
        harm.Add(70, false, true, true);
        harm.Add(40, true, true, true);
        harm.Add(7, false, false, true);
        Assert.Equal(new RouteScore(70, 40, 0), harm.ToScore());
        harm.Add(1, false, false, false);
        Assert.Equal(new RouteScore(70, 40, 70 + 40.0 / 16 + 7), harm.ToScore());
        harm.AddRest(50);
        Assert.Equal(new RouteScore(70, 40, 79.5), harm.ToScore());
        harm.AddRest(51);
        Assert.Equal(new RouteScore(121, 40, 130.5), harm.ToScore());
        harm.Add(300, true, true, true);
        harm.AddRest(0);
        Assert.Equal(new RouteScore(121, 340, 130.5 + 300.0 / 16), harm.ToScore());
        harm.Add(101, false, true, true);
        harm.End();
        Assert.Equal(new RouteScore(222, 340, 231.5 + 300.0 / 16), harm.ToScore());
        Assert.Equal(222 + 340.0 / 16 + (231.5 + 300.0 / 16) / 8, harm.Harm);
        Assert.Equal(new RouteScore(5, 7, 9), new RouteScore(5, 2, 9).Worse(new RouteScore(1, 7, 3)));
    }
}
