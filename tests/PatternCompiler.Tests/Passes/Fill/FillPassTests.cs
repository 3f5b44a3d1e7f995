using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill;

public sealed class FillPassTests
{
    private static readonly LayerFill Lines = FillCase.Options.AllLayers;

    [Fact]
    public void A_rectangle_is_written_back_and_forth_without_lifting_the_beam()
    {
        // 30 nm by 20 nm at 10 nm: two lines of three points; 2.5 C/m² · 600 nm² = 1.5e-15 C = 1,500,000 zC.
        List<Stroke> strokes = FillCase.Fill(FillCase.Options, FillCase.Rectangle(0, 0, 300, 200));
        Assert.Equal(
            [
                Stroke.Jump(0, 5_000_000, 5_000_000),
                Stroke.Line(0, 5_000_000, 5_000_000, 25_000_000, 5_000_000, 3, 750_000),
                Stroke.Line(0, 25_000_000, 15_000_000, 5_000_000, 15_000_000, 3, 750_000),
            ],
            strokes);
    }

    [Fact]
    public void Lines_along_y_exchange_the_axes()
    {
        List<Stroke> strokes = FillCase.Fill(FillCase.With(Lines with { Direction = FillDirection.Y }), FillCase.Rectangle(0, 0, 300, 200));
        Assert.Equal(
            [
                Stroke.Jump(0, 5_000_000, 5_000_000),
                Stroke.Line(0, 5_000_000, 5_000_000, 5_000_000, 15_000_000, 2, 500_000),
                Stroke.Line(0, 15_000_000, 15_000_000, 15_000_000, 5_000_000, 2, 500_000),
                Stroke.Line(0, 25_000_000, 5_000_000, 25_000_000, 15_000_000, 2, 500_000),
            ],
            strokes);
    }

    [Theory]
    [InlineData(300, 200, true)]
    [InlineData(200, 300, false)]
    public void Long_side_picks_the_axis(int width, int height, bool alongX)
    {
        FillOptions options = FillCase.With(Lines with { Direction = FillDirection.LongSide });
        Figure upright = FillCase.Rectangle(0, 0, width, height);
        Figure transposed = Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(0, 0, height, width), isTransposed: true);
        List<Stroke> strokes = FillCase.Fill(options, upright);
        Assert.Equal(alongX, strokes[1].YFemtometres == strokes[1].EndYFemtometres);
        Assert.Equal(strokes, FillCase.Fill(options, transposed));
    }

    [Fact]
    public void One_way_lines_all_run_forward_and_jump_back()
    {
        List<Stroke> strokes = FillCase.Fill(FillCase.With(Lines with { Strategy = FillStrategy.Of("one-way lines") }), FillCase.Rectangle(0, 0, 300, 200));
        Assert.Equal([StrokeKind.Jump, StrokeKind.Line, StrokeKind.Jump, StrokeKind.Line], strokes.Select(s => s.Kind));
        Assert.All(strokes.Where(s => s.Kind == StrokeKind.Line), s => Assert.True(s.EndXFemtometres > s.XFemtometres));
    }

    [Fact]
    public void A_slanted_side_is_cut_where_the_true_edge_meets_the_line()
    {
        // Right side from (300, 0) to (301, 3): at y = 5 nm and 15 nm the line reaches 31.6667 and 35 nm.
        var shape = new Trapezoid(0, 200, new(new(0, 0), new(0, 200)), new(new(300, 0), new(367, 201)));
        List<Stroke> strokes = FillCase.Fill(FillCase.Options, Figure.FromTrapezoid(0, DoseFactor.One, shape));
        Assert.Equal(31_666_667, strokes[1].EndXFemtometres + strokes[1].XFemtometres);
        Assert.Equal(35_000_000, strokes[2].EndXFemtometres + strokes[2].XFemtometres);
    }

    [Theory]
    [InlineData(FillDirection.X, 10, 10)]
    [InlineData(FillDirection.Y, 7, 13)]
    [InlineData(FillDirection.LongSide, 250, 3)]
    public void Every_area_gets_its_charge_to_a_zeptocoulomb(FillDirection direction, double pitch, double step)
    {
        FillOptions options = FillCase.With(new LayerFill(
            FillStrategy.Of("lines"), direction, Spacing.FromNanometres(pitch), Spacing.FromNanometres(step), new DoseFactor(1_250_000)));
        FillCase.Trapezoids.Sample(
            figure =>
            {
                List<Stroke> strokes = FillCase.Fill(options, figure);
                decimal asked = 2.5m * 1.25m * figure.DoseFactor.Millionths / 1_000_000m * FillCase.AreaOf(figure.Shape) * 10m;
                return Math.Abs(strokes.Sum(s => s.ChargeZeptocoulombs) - asked) <= 1;
            },
            iter: Iterations.Usually(300));
    }

    [Fact]
    public void Every_point_lies_inside_its_figure()
    {
        FillCase.Trapezoids.Sample(
            figure =>
            {
                foreach (Stroke s in FillCase.Fill(FillCase.Options, figure))
                {
                    (long x, long y) = figure.IsTransposed ? (s.YFemtometres, s.XFemtometres) : (s.XFemtometres, s.YFemtometres);
                    if (!Contains(figure.Shape, x, y))
                    {
                        return false;
                    }
                }

                return true;
            },
            iter: Iterations.Usually(300));

        static bool Contains(Trapezoid t, long x, long y)
        {
            decimal gx = x / 100_000m, gy = y / 100_000m;
            const decimal Femtometre = 0.00002m;
            return gy >= t.YBottom && gy <= t.YTop && gx >= At(t.Left) - Femtometre && gx <= At(t.Right) + Femtometre;

            decimal At(GridEdge e) =>
                e.Lower.X + (e.Upper.X - e.Lower.X) * (gy - e.Lower.Y) / (e.Upper.Y - e.Lower.Y);
        }
    }

    [Fact]
    public void The_centre_rule_puts_lines_and_points_on_codes_inside_the_figure()
    {
        // Codes every 8 nm from −4 nm: rows at 4 and 12 of 0 … 20 nm, points at 4, 12, 20 of 0 … 27 nm.
        LayerFill centre = Lines with { LinePitch = Spacing.FromCodes(1), PointStep = Spacing.FromCodes(1), Placement = CodePlacement.Centre };
        FillOptions options = FillCase.With(centre) with
        {
            Lattice = new CodeLattice(new CodeAxis(-4e6, 8e6), new CodeAxis(-4e6, 8e6)),
        };
        List<Stroke> strokes = FillCase.Fill(options, FillCase.Rectangle(0, 0, 270, 200));
        Assert.Equal(
            [
                Stroke.Jump(0, 4_000_000, 4_000_000),
                Stroke.Line(0, 4_000_000, 4_000_000, 20_000_000, 4_000_000, 3, 480_000),
                Stroke.Line(0, 20_000_000, 12_000_000, 4_000_000, 12_000_000, 3, 480_000),
            ],
            strokes);
    }

    [Fact]
    public void Lines_and_dots_get_their_own_doses_and_a_polyline_is_one_stretch()
    {
        List<Stroke> strokes = FillCase.Fill(
            FillCase.Options,
            Figure.FromLine(0, DoseFactor.One, new(0, 0), new(200, 0)),
            Figure.FromLine(0, DoseFactor.One, new(200, 0), new(200, 100)),
            Figure.FromDot(0, new DoseFactor(2_000_000), new(500, 500)));
        Assert.Equal(
            [
                Stroke.Jump(0, 5_000_000, 0),
                Stroke.Line(0, 5_000_000, 0, 15_000_000, 0, 2, 2_000_000),
                Stroke.Dot(1, 20_000_000, 5_000_000, 1_000_000),
                Stroke.Jump(2, 50_000_000, 50_000_000),
                Stroke.Dot(2, 50_000_000, 50_000_000, 2_000_000),
            ],
            strokes);
    }

    [Fact]
    public void A_raster_scans_the_box_with_on_and_off_runs()
    {
        FillOptions options = FillCase.With(Lines with { Strategy = FillStrategy.Of("raster") });
        List<Stroke> strokes = FillCase.Fill(
            options,
            FillCase.Rectangle(0, 0, 100, 200),
            FillCase.Rectangle(300, 0, 200, 100));
        Assert.Equal(
            [
                Stroke.Jump(0, 5_000_000, 5_000_000),
                Stroke.Dot(0, 5_000_000, 5_000_000, 250_000),
                Stroke.Jump(1, 35_000_000, 5_000_000),
                Stroke.Line(1, 35_000_000, 5_000_000, 45_000_000, 5_000_000, 2, 500_000),
                Stroke.Jump(0, 5_000_000, 15_000_000),
                Stroke.Dot(0, 5_000_000, 15_000_000, 250_000),
            ],
            strokes);
    }

    [Fact]
    public void A_raster_of_abutting_figures_keeps_the_beam_on_along_the_whole_row()
    {
        FillOptions options = FillCase.With(Lines with { Strategy = FillStrategy.Of("raster") });
        List<Stroke> strokes = FillCase.Fill(options, FillCase.Rectangle(0, 0, 100, 200), FillCase.Rectangle(100, 0, 100, 200));
        Assert.Equal(1, strokes.Count(s => s.Kind == StrokeKind.Jump));
        Assert.Equal(4, strokes.Count(s => s.Kind == StrokeKind.Dot));
    }

    [Fact]
    public void Slivers_keep_their_charge_and_never_ask_for_less_than_the_shortest_dwell()
    {
        // A regular point has 250,000 zC; the beam cannot deliver less than 100,000 zC. 3 nm by 1 µm needs 7,500,000 zC.
        FillOptions options = FillCase.Options with { SmallestPointChargeCoulombs = 1e-16 };
        List<Stroke> upright = FillCase.Fill(options, FillCase.Rectangle(0, 0, 30, 10_000));
        List<Stroke> lying = FillCase.Fill(options, FillCase.Rectangle(0, 0, 10_000, 30));
        foreach (List<Stroke> strokes in new[] { upright, lying })
        {
            Assert.Equal(7_500_000, strokes.Sum(s => s.ChargeZeptocoulombs));
            Assert.All(strokes.Where(s => s.Points > 0), s => Assert.True(s.ChargeZeptocoulombs / s.Points >= 100_000));
        }
    }

    [Fact]
    public void Figures_below_the_shortest_dwell_are_rounded_to_it_and_counted()
    {
        var sink = new DiagnosticSink();
        FillOptions options = FillCase.Options with { SmallestPointChargeCoulombs = 1e-16 };

        // 2.5 C/m² on 3 nm², 24 nm² and 100 nm².
        List<Stroke> strokes = FillCase.Fill(options, sink, FillCase.Rectangle(0, 0, 10, 30), FillCase.Rectangle(0, 0, 60, 40), FillCase.Rectangle(0, 0, 100, 100));
        Assert.Equal([100_000, 250_000], strokes.Where(s => s.Points > 0).Select(s => s.ChargeZeptocoulombs));
        Assert.Equal(
            [
                "figure 1: warning PC1205: 1 figure needs less than the shortest dwell and is written with it, first figure 1; lower the beam current",
                "figure 0: warning PC1285: 1 figure needs less than half of the shortest dwell and is not written, first figure 0; lower the beam current",
            ],
            sink.Collected.Select(message => message.ToString()));
    }

    [Fact]
    public void Layers_are_written_in_the_asked_order_with_their_own_settings()
    {
        var document = new FiguresDocument(
            new FiguresHeader(100, ["pads", "fine"]),
            [
                Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(0, 0, 100, 100)),
                Figure.FromTrapezoid(1, DoseFactor.One, Trapezoid.FromRectangle(0, 0, 100, 100)),
            ]);
        var output = new CollectingSink<StrokesHeader, Stroke>();
        FillOptions options = FillCase.Options with
        {
            LayerOrder = ["fine"],
            ByLayer = FillCase.Options.ByLayer.Add("fine", Lines with { DoseFactor = new DoseFactor(500_000) }),
        };
        FillPass.Run(document, options, output, new DiagnosticSink(), CancellationToken.None);
        Assert.Equal([(1, 125_000L), (0, 250_000L)], output.Items.Where(s => s.Points > 0).Select(s => (s.Figure, s.ChargeZeptocoulombs)));
    }

    [Fact]
    public void Settings_that_do_not_fit_are_refused_in_words()
    {
        Figure figure = FillCase.Rectangle(0, 0, 300, 200);
        AssertRefused(
            "error PC1201: the fill settings name a layer 'pds', but the figures have only 'pattern'; correct the name",
            FillCase.Options with { LayerOrder = ["pds"] });
        AssertRefused(
            "error PC1202: the point step of layer pattern is 2 codes, but no machine says how large a code is; name the machine, or give the spacing in nanometres",
            FillCase.With(Lines with { PointStep = Spacing.FromCodes(2) }));
        AssertRefused(
            "error PC1203: the line pitch of layer pattern is 0.0001 nm; give a spacing of at least 0.001 nm or 1 code",
            FillCase.With(Lines with { LinePitch = Spacing.FromNanometres(0.0001) }));
        AssertRefused(
            "figure 0: error PC1204: the figure would need 100000000 lines, more than 16777216; raise the line pitch",
            FillCase.With(Lines with { LinePitch = Spacing.FromNanometres(0.001) }),
            FillCase.Rectangle(0, 0, 10, 1_000_000));

        void AssertRefused(string expected, FillOptions options, Figure? other = null) =>
            Assert.Equal(expected, Assert.Throws<CompileException>(() => FillCase.Fill(options, other ?? figure)).Message);
    }

    [Fact]
    public void Cancelling_stops_the_pass()
    {
        using var source = new CancellationTokenSource();
        source.Cancel();
        Assert.Throws<OperationCanceledException>(() => FillPass.Run(
            new FiguresDocument(new FiguresHeader(100, ["a"]), [FillCase.Rectangle(0, 0, 300, 200)]),
            FillCase.Options,
            new CollectingSink<StrokesHeader, Stroke>(),
            new DiagnosticSink(),
            source.Token));
    }
}
