using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Proximity;

public class ProximityPassTests
{
    private static readonly ProximityOptions Options = new(
        SpreadFunction.TwoGaussian(40, 2000, 0.74), ProximityTarget.Edge, 0.005, 60, 100, 0, 50, 1000);

    // Isolated feature, α much smaller than its width, its width much smaller than β: edge energy 1/(2(1+η)), so it needs
    // 1+η times the dose of a large area's edge (closed form of the two-Gaussian model).
    [Fact]
    public void An_isolated_line_gets_one_plus_eta_of_the_dose_of_a_large_edge()
    {
        ProximityOptions options = Options with { Spread = SpreadFunction.TwoGaussian(10, 20_000, 0.74) };
        (FiguresDocument corrected, _) = Run([Rectangle(-1, -1000, 1, 1000, 0.1)], options);
        double dose = corrected.Figures.Single(f => f.Shape.YBottom <= 0 && f.Shape.YTop > 0).DoseFactor.Value;
        Assert.InRange(dose, 1.74 * 0.985, 1.74);
    }

    // The target is where the resist prints: a base dose of 4/3 of the printing dose leaves 3/4 to be met at edges, 3/2 on average.
    [Theory]
    [InlineData(ProximityTarget.Edge)]
    [InlineData(ProximityTarget.Average)]
    public void Doses_follow_the_energy_at_which_the_resist_prints(ProximityTarget target)
    {
        ProximityOptions options = Options with { Spread = SpreadFunction.TwoGaussian(10, 20_000, 0.74), Target = target };
        Figure[] line = [Rectangle(-1, -1000, 1, 1000, 0.1)];
        double usual = DoseInTheMiddle(Run(line, options).Figures);
        Assert.Equal(1.5 * usual, DoseInTheMiddle(Run(line, options with { EdgeEnergy = 0.75 }).Figures), 0.02 * usual);

        static double DoseInTheMiddle(FiguresDocument document) =>
            document.Figures.Single(f => f.Shape.YBottom <= 0 && f.Shape.YTop > 0).DoseFactor.Value;
    }

    // Deep inside a large area U = 1, and the edge-equalising rule gives (1+η)/(1+2η) = 0.70161 at η = 0.74 (closed form of
    // the two-Gaussian model). Its edge sees the lowered inside, so it needs more than the uncorrected dose 1.
    [Fact]
    public void A_large_area_gets_less_inside_and_more_at_its_edge()
    {
        (FiguresDocument corrected, ProximityReport report) = Run([Rectangle(-200, -200, 200, 200, 0.1)], Options);
        double inside = corrected.Figures.Single(f => Covers(f, 1, 1)).DoseFactor.Value;
        Assert.Equal(0.70161, inside, 2);
        double edge = corrected.Figures.Single(f => Covers(f, 1, 1_999_990 / 10)).DoseFactor.Value;
        Assert.InRange(edge, 1, 1.74);
        Assert.True(report.LargestError <= 0.005, $"{report.LargestError}");
    }

    [Fact]
    public void Cutting_keeps_the_area()
    {
        Figure figure = Figure.FromTrapezoid(0, DoseFactor.One, new Trapezoid(
            0, 100_000, new GridEdge(new GridPoint(0, 0), new GridPoint(30_000, 100_000)), new GridEdge(new GridPoint(150_000, 0), new GridPoint(90_000, 100_000))));
        (FiguresDocument corrected, ProximityReport report) = Run([figure], Options);
        Assert.True(report.FiguresAfter > 10);
        Assert.Equal(TwiceArea(figure.Shape), corrected.Figures.Sum(f => TwiceArea(f.Shape)), 1);
    }

    // A wedge whose tip would be cut to next to nothing.
    [Fact]
    public void No_piece_gets_less_than_the_smallest_charge()
    {
        Figure wedge = Figure.FromTrapezoid(0, DoseFactor.One, new Trapezoid(
            0, 200_000, new GridEdge(new GridPoint(0, 0), new GridPoint(0, 200_000)), new GridEdge(new GridPoint(3000, 0), new GridPoint(0, 200_000))));
        Figure[] figures = [wedge, Rectangle(-200, 0, 0, 200, 0.1)];
        double Smallest(double squareNanometres)
        {
            (FiguresDocument corrected, _) = Run(figures, Options with { SmallestPieceSquareNanometres = squareNanometres });
            return corrected.Figures.Min(f => TwiceArea(f.Shape)) / 2 * 0.01;
        }

        Assert.True(Smallest(0) < 5000);
        Assert.InRange(Smallest(20_000), 20_000, 60_000);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(3)]
    public void No_area_gets_a_dose_below_the_shortest_dwell(int classes)
    {
        ProximityOptions options = Options with { DoseClasses = classes };
        Figure[] pad = [Rectangle(-200, -200, 200, 200, 0.1)];
        (FiguresDocument free, _) = Run(pad, options);
        (FiguresDocument limited, _) = Run(pad, options with { General = new LayerDose(1, 1, 1, 0.8) });
        Assert.True(free.Figures.Min(f => f.DoseFactor.Value) < 0.75);
        Assert.True(limited.Figures.Min(f => f.DoseFactor.Value) >= 0.8);
        Assert.True(classes == 0 || limited.Figures.Select(f => f.DoseFactor).Distinct().Count() <= classes);
    }

    // The layer's own dose factor is applied when the layer is filled: what is scattered must already count it.
    [Fact]
    public void The_dose_of_a_layer_counts_for_what_it_scatters()
    {
        Figure[] figures = [Rectangle(-1, -100, 1, 100, 0.1) with { Layer = 1 }, Rectangle(4, -100, 200, 100, 0.1)];
        double LineDose(double padDose)
        {
            (FiguresDocument corrected, _) = ProximityPass.Run(
                new FiguresDocument(new FiguresHeader(100, ["pad", "line"]), figures),
                Options with { ByLayer = Options.ByLayer.Add("pad", new LayerDose(padDose, 1, 1, 0)) },
                new DiagnosticSink(),
                CancellationToken.None);
            return corrected.Figures.First(f => f.Layer == 1 && f.Shape.YBottom <= 0 && f.Shape.YTop > 0).DoseFactor.Value;
        }

        Assert.True(LineDose(1.5) < LineDose(1) - 0.05);
    }

    // Two pads 5 mm apart along both axes: as many cells as are allowed are 1.7 um wide, with electrons that go 2 um.
    [Fact]
    public void A_background_that_is_computed_too_coarsely_is_said()
    {
        Figure[] far = [Rectangle(0, 0, 5, 5, 1), Rectangle(5000, 5000, 5005, 5005, 1)];
        var sink = new DiagnosticSink();
        ProximityPass.Run(new FiguresDocument(new FiguresHeader(100, ["a"]), far), Options with { LargestIterations = 1 }, sink, CancellationToken.None);
        Assert.Contains(
            "warning PC1551: the drawing is so wide against its scattering that the background at edges may be wrong by 2.9%, more than the tolerance "
            + "of 0.5%; correct parts that lie far apart one by one, in a job each",
            sink.Collected.Select(d => d.ToString()));

        // What the message advises.
        var near = new DiagnosticSink();
        ProximityPass.Run(new FiguresDocument(new FiguresHeader(100, ["a"]), far[..1]), Options with { LargestIterations = 1 }, near, CancellationToken.None);
        Assert.DoesNotContain(near.Collected, d => d.Code.Id == "PC1551");
    }

    // Beside the inner corner of an L the edge prints outside whatever its dose is: the dose there must stay that of its
    // neighbours along the edge.
    [Fact]
    public void Inner_corners_are_left_round()
    {
        Figure[] figures = [Rectangle(0, 0, 100, 5, 0.1), Rectangle(0, 5, 5, 100, 0.1)];
        (FiguresDocument corrected, ProximityReport report) = Run(figures, Options with { SmallestPieceNanometres = 30 });
        double atCorner = corrected.Figures.Single(f => Covers(f, 5100, 4990)).DoseFactor.Value;
        double along = corrected.Figures.Single(f => Covers(f, 9000, 4990)).DoseFactor.Value;
        Assert.InRange(atCorner / along, 0.9, 1.05);
        Assert.True(report.SmallestDoseFactor > 0.8, $"{report.SmallestDoseFactor}");
    }

    [Fact]
    public void The_inside_of_an_area_is_cut_less_than_its_edge()
    {
        (FiguresDocument corrected, _) = Run([Rectangle(-200, -200, 200, 200, 0.1)], Options);
        double AreaAt(int x, int y) => TwiceArea(corrected.Figures.Single(f => Covers(f, x, y)).Shape);
        Assert.True(AreaAt(150_001, 1) > 4 * AreaAt(199_999, 1));
        (FiguresDocument average, _) = Run([Rectangle(-200, -200, 200, 200, 0.1)], Options with { Target = ProximityTarget.Average });
        Assert.True(average.Figures.Count > corrected.Figures.Count);
    }

    // Dose 0 is a legal factor of a drawing: such figures are not written, aim at nothing and disturb nobody.
    [Fact]
    public void Figures_of_dose_zero_change_no_other_dose()
    {
        Figure[] written = [Rectangle(0, 0, 20, 100, 0.1), Figure.FromLine(0, DoseFactor.One, new GridPoint(60_000, 0), new GridPoint(60_000, 80_000))];
        Figure[] unwritten =
        [
            Rectangle(25, 0, 30, 100, 0.1) with { DoseFactor = new DoseFactor(0) },
            Rectangle(5000, 0, 5100, 100, 0.1) with { DoseFactor = new DoseFactor(0) },
            Figure.FromLine(0, new DoseFactor(0), new GridPoint(60_300, 0), new GridPoint(60_300, 80_000)),
        ];
        (FiguresDocument alone, _) = Run(written, Options);
        (FiguresDocument together, ProximityReport report) = Run([.. written, .. unwritten], Options);
        Assert.Equal(alone.Figures.Count + unwritten.Length, together.Figures.Count);
        Assert.All(
            alone.Figures.Zip(together.Figures), pair => Assert.Equal(pair.First.DoseFactor.Value, pair.Second.DoseFactor.Value, 0.01));
        Assert.All(together.Figures.TakeLast(unwritten.Length), figure => Assert.Equal(0, figure.DoseFactor.Millionths));
        Assert.InRange(report.LargestError, 0, 0.1);
    }

    [Fact]
    public void Dose_classes_limit_the_number_of_different_doses()
    {
        (FiguresDocument corrected, _) = Run([Rectangle(-100, -100, 100, 100, 0.1)], Options with { DoseClasses = 4 });
        Assert.Equal(4, corrected.Figures.Select(f => f.DoseFactor).Distinct().Count());
    }

    [Fact]
    public void A_drawn_dose_factor_scales_the_target()
    {
        Figure plain = Rectangle(-1, -1000, 1, 1000, 0.1);
        (FiguresDocument one, _) = Run([plain], Options);
        (FiguresDocument two, _) = Run([plain with { DoseFactor = DoseFactor.FromValue(2) }], Options);
        Assert.Equal(one.Figures.Count, two.Figures.Count);
        Assert.All(one.Figures.Zip(two.Figures), p => Assert.Equal(2 * p.First.DoseFactor.Value, p.Second.DoseFactor.Value, 5));
    }

    [Fact]
    public void A_line_inside_a_large_area_needs_less_than_alone()
    {
        Figure line = Figure.FromLine(0, DoseFactor.One, new GridPoint(-10_000, 0), new GridPoint(10_000, 0));
        (FiguresDocument alone, _) = Run([line], Options);
        (FiguresDocument inside, _) = Run([line, Rectangle(-100, 1, 100, 100, 0.1), Rectangle(-100, -100, 100, -1, 0.1)], Options);
        Assert.True(alone.Figures[0].DoseFactor.Value > 0.98, $"{alone.Figures[0].DoseFactor}");
        Assert.True(inside.Figures[0].DoseFactor.Value < 0.8, $"{inside.Figures[0].DoseFactor}");
    }

    [Fact]
    public void The_number_of_threads_does_not_change_a_dose()
    {
        Figure[] figures = [.. Enumerable.Range(0, 40).Select(i => Rectangle(4 * i, 0, 4 * i + 2, 100, 0.1))];
        (FiguresDocument first, _) = Run(figures, Options);
        (FiguresDocument second, _) = Run(figures, Options);
        Assert.Equal(first.Figures, second.Figures);
    }

    [Fact]
    public void What_dose_cannot_correct_is_said()
    {
        // 20 nm lines and spaces under a forward range of 200 nm: only their mean can be set.
        var sink = new DiagnosticSink();
        Figure[] figures = [Rectangle(0, 0, 0.2, 50, 0.1), .. Enumerable.Range(1, 50).Select(i => Rectangle(0.4 * i, 0, 0.4 * i + 0.2, 3 * i, 0.1))];
        ProximityPass.Run(
            new FiguresDocument(new FiguresHeader(100, ["a"]), figures),
            Options with { Spread = SpreadFunction.TwoGaussian(200, 2000, 0.74), LargestIterations = 3 },
            sink,
            CancellationToken.None);
        Assert.Equal("PC1502", Assert.Single(sink.Collected).Code.Id);
    }

    private static (FiguresDocument Figures, ProximityReport Report) Run(Figure[] figures, ProximityOptions options) =>
        ProximityPass.Run(new FiguresDocument(new FiguresHeader(100, ["a"]), figures), options, new DiagnosticSink(), CancellationToken.None);

    /// <summary>Corners in units of 100 nm on a grid of 0.1 nm.</summary>
    private static Figure Rectangle(double x0, double y0, double x1, double y1, double micrometresPerUnit)
    {
        double scale = micrometresPerUnit * 10_000;
        return Figure.FromTrapezoid(
            0, DoseFactor.One, Trapezoid.FromRectangle((int)(x0 * scale), (int)(y0 * scale), (int)(x1 * scale), (int)(y1 * scale)));
    }

    private static bool Covers(Figure figure, int x, int y) =>
        figure.Shape.YBottom <= y && y < figure.Shape.YTop && figure.Shape.Left.Lower.X <= x && x < figure.Shape.Right.Lower.X;

    private static double TwiceArea(Trapezoid t) =>
        ((double)t.YTop - t.YBottom) * (GaussianEnergy.XAt(t.Right, t.YTop) + GaussianEnergy.XAt(t.Right, t.YBottom)
            - GaussianEnergy.XAt(t.Left, t.YTop) - GaussianEnergy.XAt(t.Left, t.YBottom));
}
