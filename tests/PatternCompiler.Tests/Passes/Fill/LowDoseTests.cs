using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill;

/// <summary>A regular point at dose factor 1 has 250 aC (250 µC/cm² on 10 × 10 nm²); the shortest dwell delivers 100 aC.</summary>
public sealed class LowDoseTests
{
    private static readonly FillOptions Options = FillCase.Options with { SmallestPointChargeCoulombs = 1e-16 };

    public static TheoryData<string> Placements { get; } = new() { "free", "shared", "spread", "pitch in codes", "step in codes" };

    [Theory]
    [MemberData(nameof(Placements))]
    public void Whatever_the_dose_no_point_is_too_short_and_the_charge_is_exact(string placement)
    {
        FillOptions options = Placed(placement);
        Gen.Select(FillCase.Trapezoids, Gen.Int[20_000, 1_500_000]).Sample(
            (figure, dose) =>
            {
                Figure dosed = figure with { DoseFactor = new DoseFactor(dose) };
                List<Stroke> strokes = FillCase.Fill(options, dosed);
                double asked = 25 * dosed.DoseFactor.Value * (double)FillCase.AreaOf(figure.Shape);
                return strokes.All(s => s.Points == 0 || (double)s.ChargeZeptocoulombs / s.Points >= 99_998)
                    && (asked < 100_000 || Math.Abs(strokes.Sum(s => s.ChargeZeptocoulombs) - asked) <= 1.001);
            },
            iter: Iterations.Usually(150));
    }

    /// <summary>Points that are set further apart stay within the figure and about its middle, along and across the lines.</summary>
    [Theory]
    [MemberData(nameof(Placements))]
    public void Whatever_the_dose_the_middle_stays(string placement)
    {
        foreach (int dose in (int[])[70_000, 90_000, 150_000, 260_000, 390_000])
        {
            List<Stroke> strokes = [.. FillCase.Fill(Placed(placement), FillCase.Rectangle(0, 0, 3070, 1030) with { DoseFactor = new DoseFactor(dose) }).Where(s => s.Points > 0)];
            double all = strokes.Sum(s => (double)s.ChargeZeptocoulombs);
            Assert.Equal(153.5, strokes.Sum(s => s.ChargeZeptocoulombs * (s.XFemtometres + s.EndXFemtometres) / 2e6) / all, 2.0);
            Assert.Equal(51.5, strokes.Sum(s => s.ChargeZeptocoulombs * (s.YFemtometres + s.EndYFemtometres) / 2e6) / all, 2.0);
            Assert.All(strokes, s => Assert.True(Math.Min(s.XFemtometres, s.EndXFemtometres) > -10e6 && Math.Max(s.XFemtometres, s.EndXFemtometres) < 317e6));
        }
    }

    /// <summary>Points of just the shortest dwell are long enough: they stay where those of a full dose are, and nothing is said.</summary>
    [Theory]
    [InlineData("free")]
    [InlineData("spread")]
    public void Points_of_just_the_shortest_dwell_stay(string placement)
    {
        var sink = new DiagnosticSink();
        Figure figure = FillCase.Rectangle(0, 0, 3000, 1000);
        long full = FillCase.Fill(Placed(placement), figure).Sum(s => (long)s.Points);
        Assert.Equal(full, FillCase.Fill(Placed(placement), sink, figure with { DoseFactor = new DoseFactor(400_000) }).Sum(s => (long)s.Points));
        Assert.Empty(sink.Collected);
    }

    [Fact]
    public void Points_of_a_low_dose_are_set_further_apart_and_counted()
    {
        var sink = new DiagnosticSink();
        Figure full = FillCase.Rectangle(0, 0, 3000, 1000);
        Figure low = FillCase.Rectangle(0, 2000, 3000, 1000) with { DoseFactor = new DoseFactor(150_000) };
        Figure line = Figure.FromLine(0, new DoseFactor(50_000), new GridPoint(0, 5000), new GridPoint(6000, 5000));
        List<Stroke> strokes = FillCase.Fill(Options with { LineDoseCoulombsPerMetre = 2e-8 }, sink, full, low, line);

        // 0.15 · 250 aC are 37.5 aC: every third point. 1 aC/nm on 600 nm are 6 points of 100 aC in place of 60.
        Assert.All(strokes.Where(s => s.Figure == 0 && s.Points > 0), s => Assert.Equal(30, s.Points));
        Assert.All(strokes.Where(s => s.Figure == 1 && s.Points > 0), s => Assert.Equal(10, s.Points));
        Assert.Equal(6, strokes.Single(s => s.Figure == 2 && s.Points > 0).Points);
        Assert.Equal(1_125_000, strokes.Where(s => s.Figure == 1).Sum(s => s.ChargeZeptocoulombs) / 10);
        Assert.Equal(
            "figure 1: warning PC1210: 2 figures of low dose have points up to 10 steps apart, or their dwell would be below the shortest, first figure 1; "
            + "lower the beam current, raise the point step, or let the spacing be automatic",
            Assert.Single(sink.Collected).ToString());
    }

    [Fact]
    public void Points_stay_where_the_settings_are_wrong_or_the_dose_would_be_uneven()
    {
        // Beam of 50 nm: 2% ripple at 44 nm. A factor of 0.05 asks for 80 nm, which a figure wider than that shows.
        FillOptions narrow = Options with { Limits = new SpacingLimits(1e-10, 1e-10, 1e7, 5, 65535, 20, 50 / 2.3548200450309493) };
        Assert.Equal(20, PointsOf(narrow, FillCase.Rectangle(0, 0, 2000, 2000), 50_000));
        Assert.Equal(1, PointsOf(narrow, FillCase.Rectangle(0, 0, 400, 400), 50_000));

        // The layer's own dose does not fit its spacing.
        Assert.Equal(20, PointsOf(Options with { SmallestPointChargeCoulombs = 3e-16 }, FillCase.Rectangle(0, 0, 2000, 2000), 500_000));

        static int PointsOf(FillOptions options, Figure figure, int dose) =>
            FillCase.Fill(options, figure with { DoseFactor = new DoseFactor(dose) }).Max(s => s.Points);
    }

    [Fact]
    public void Charge_for_one_point_is_put_at_the_centroid()
    {
        // A triangle of 12 × 12 nm² / 2: 180 aC, one point; its centroid is at a third of its height.
        var triangle = new Trapezoid(0, 120, new GridEdge(new(0, 0), new(0, 120)), new GridEdge(new(120, 0), new(0, 120)));
        Stroke point = FillCase.Fill(Options, Figure.FromTrapezoid(0, DoseFactor.One, triangle)).Single(s => s.Points > 0);
        Assert.Equal(Stroke.Dot(0, 4_000_000, 4_000_000, 180_000), point);
    }

    /// <summary>
    /// 250 aC a point are 2.5 ticks of 100 ns at 1 nA, half the shortest dwell. The points along the edges have a small part
    /// of that, which says nothing of how far the settings are off.
    /// </summary>
    [Theory]
    [InlineData("lines")]
    [InlineData("raster")]
    public void A_regular_point_on_codes_that_is_too_short_is_told_with_what_mends_it(string strategy)
    {
        Figure[] figures = [FillCase.Rectangle(3, 7, 2011, 1503), FillCase.Rectangle(3003, 7, 2011, 1503)];
        CompileException fault = Assert.Throws<CompileException>(() => FillCase.Fill(At(1e-9, 4), figures));
        Assert.Equal(
            "figure 0: error PC1402: each point inside the area needs 2.5 ticks (250 ns), below the controller's shortest dwell of 5 ticks (500 ns); "
            + "lower the beam current from 1 nA to at most 500 pA, or raise line pitch times point step 2 times or more",
            fault.Message);
        Assert.All(
            FillCase.Fill(At(0.499e-9, 4), figures).Where(s => s.Points > 0), s => Assert.InRange((double)s.ChargeZeptocoulombs / s.Points, 249_400, double.PositiveInfinity));
        Assert.All(
            FillCase.Fill(At(1e-9, 6), figures).Where(s => s.Points > 0), s => Assert.InRange((double)s.ChargeZeptocoulombs / s.Points, 499_900, double.PositiveInfinity));

        FillOptions At(double amperes, int codes)
        {
            FillOptions placed = Placed("shared");
            return placed with
            {
                AllLayers = placed.AllLayers with { Strategy = FillStrategy.Of(strategy), LinePitch = Spacing.FromCodes(codes), PointStep = Spacing.FromCodes(codes) },
                Limits = new SpacingLimits(amperes, amperes, 1e7, 5, 65535, 20, 25),
                SmallestPointChargeCoulombs = amperes * 5e-7,
            };
        }
    }

    private static FillOptions Placed(string placement)
    {
        Spacing length = Spacing.FromNanometres(10);
        Spacing codes = Spacing.FromCodes(4);
        LayerFill fill = Options.AllLayers with
        {
            Placement = placement == "free" ? CodePlacement.Rounded : CodePlacement.Weighted,
            LinePitch = placement is "shared" or "pitch in codes" ? codes : length,
            PointStep = placement is "shared" or "step in codes" ? codes : length,
        };
        return Options with { AllLayers = fill, Lattice = new CodeLattice(new CodeAxis(1234, 2_500_000), new CodeAxis(777, 2_500_000)) };
    }
}
