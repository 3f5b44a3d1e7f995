using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill;

public sealed class WeightedPlacementTests
{
    private const double CodeX = 24_414_062.5;
    private const double CodeY = 19_531_250;

    private static readonly CodeLattice Lattice = new(new CodeAxis(-5e10 + 1234, CodeX), new CodeAxis(-4e10 + 777, CodeY));

    private static readonly Spacing OneCode = Spacing.FromCodes(1);
    private static readonly Spacing TwoCodes = Spacing.FromCodes(2);
    private static readonly Spacing Length = Spacing.FromNanometres(67);

    public static TheoryData<string, FillDirection> Cases { get; } = new()
    {
        { "1/1", FillDirection.X },
        { "1/1", FillDirection.Y },
        { "2/1", FillDirection.LongSide },
        { "nm/nm", FillDirection.X },
        { "nm/nm", FillDirection.Y },
        { "1/nm", FillDirection.X },
        { "nm/2", FillDirection.Y },
    };

    [Theory]
    [MemberData(nameof(Cases))]
    public void Charge_is_exact_and_the_centroid_within_a_hundredth_of_a_code(string spacings, FillDirection direction)
    {
        FillOptions options = Options(spacings, direction);
        FillCase.Trapezoids.Sample(
            figure =>
            {
                List<Stroke> strokes = FillCase.Fill(options, figure);
                double asked = 2.5 * figure.DoseFactor.Value * (double)FillCase.AreaOf(figure.Shape) * 10;
                (double x, double y) = Centroid(figure);
                (double sx, double sy, double charge) = Centroid(strokes);
                return Math.Abs(charge - asked) <= 1.001
                    && (charge < 10_000 || (Math.Abs(sx - x) <= 0.01 * CodeX && Math.Abs(sy - y) <= 0.01 * CodeY));
            },
            iter: Iterations.Usually(200));
    }

    [Theory]
    [InlineData("1/1", FillDirection.X)]
    [InlineData("2/1", FillDirection.Y)]
    public void Every_point_stands_on_a_code(string spacings, FillDirection direction)
    {
        FillOptions options = Options(spacings, direction);
        FillCase.Trapezoids.Sample(
            figure => FillCase.Fill(options, figure).All(s =>
                IsOn(Lattice.X, s.XFemtometres) && IsOn(Lattice.X, s.EndXFemtometres) && IsOn(Lattice.Y, s.YFemtometres) && IsOn(Lattice.Y, s.EndYFemtometres)),
            iter: Iterations.Usually(100));

        static bool IsOn(CodeAxis axis, long place) => axis.PositionOf((long)Math.Round(axis.NumberAt(place))) == place;
    }

    [Theory]
    [MemberData(nameof(Cases))]
    public void No_point_is_below_the_shortest_dwell(string spacings, FillDirection direction)
    {
        // A regular point at dose factor 1 has 2.5 C/m² · 24.4 nm · 19.5 nm = 1.2 fC or more; the least is 0.2 fC.
        FillOptions options = Options(spacings, direction) with { SmallestPointChargeCoulombs = 2e-16 };
        FillCase.Trapezoids.Sample(
            figure =>
            {
                Figure regular = figure with { DoseFactor = DoseFactor.One };
                List<Stroke> strokes = FillCase.Fill(options, regular);
                double asked = 25 * (double)FillCase.AreaOf(figure.Shape);
                return strokes.All(s => s.Points == 0 || s.ChargeZeptocoulombs / s.Points >= 199_999)
                    && (asked < 200_000 || Math.Abs(strokes.Sum(s => s.ChargeZeptocoulombs) - asked) <= 1.001);
            },
            iter: Iterations.Usually(200));
    }

    [Fact]
    public void A_rectangle_on_codes_gets_full_dose_inside_and_shared_dose_on_its_edge()
    {
        // Codes every 10 nm; 0 … 45 nm in x, 0 … 40 nm in y, regular points of 250,000 zC. Shares across y: 1/2 at 0 and
        // 40, 1 between. Along x: 1/2 at 0, 1 at 10 to 30, and half a code beyond 40 leaves 7/8 at 40 and 1/8 at 50.
        var lattice = new CodeLattice(new CodeAxis(0, 1e7), new CodeAxis(0, 1e7));
        List<Stroke> strokes = FillCase.Fill(
            FillCase.With(Fill(OneCode, OneCode, FillDirection.X)) with { Lattice = lattice },
            FillCase.Rectangle(0, 0, 450, 400));
        Assert.Equal(
            [
                Stroke.Dot(0, 50_000_000, 10_000_000, 31_250),
                Stroke.Dot(0, 40_000_000, 10_000_000, 218_750),
                Stroke.Line(0, 30_000_000, 10_000_000, 10_000_000, 10_000_000, 3, 750_000),
                Stroke.Dot(0, 0, 10_000_000, 125_000),
            ],
            strokes.Where(s => s.YFemtometres == 10_000_000));
        Assert.Equal([62_500, 375_000, 109_375, 15_625], strokes.Where(s => s.YFemtometres == 0 && s.Points > 0).Select(s => s.ChargeZeptocoulombs));
        Assert.Equal(1, strokes.Count(s => s.Kind == StrokeKind.Jump));
        Assert.Equal(4_500_000, strokes.Sum(s => s.ChargeZeptocoulombs));
    }

    [Fact]
    public void Abutting_figures_join_without_a_seam()
    {
        FillOptions options = Options("1/1", FillDirection.X);
        Figure whole = FillCase.Rectangle(-1003, -2001, 4007, 3001);
        Figure[] parts = [FillCase.Rectangle(-1003, -2001, 1555, 3001), FillCase.Rectangle(552, -2001, 2452, 1100), FillCase.Rectangle(552, -901, 2452, 1901)];
        Dictionary<(long, long), double> one = Map(FillCase.Fill(options, whole));
        Dictionary<(long, long), double> three = Map(FillCase.Fill(options, parts));
        Assert.Equal(one.Count, three.Count);
        Assert.All(one, pair => Assert.Equal(pair.Value, three[pair.Key], 3.0));
    }

    private static FillOptions Options(string spacings, FillDirection direction)
    {
        string[] parts = spacings.Split('/');
        return FillCase.With(Fill(Parse(parts[0]), Parse(parts[1]), direction)) with { Lattice = Lattice };

        static Spacing Parse(string text) => text switch { "1" => OneCode, "2" => TwoCodes, _ => Length };
    }

    private static LayerFill Fill(Spacing pitch, Spacing step, FillDirection direction) =>
        new(FillStrategy.Of("lines"), direction, pitch, step, DoseFactor.One) { Placement = CodePlacement.Weighted };

    private static Dictionary<(long, long), double> Map(List<Stroke> strokes)
    {
        var map = new Dictionary<(long, long), double>();
        foreach (Stroke s in strokes)
        {
            for (int i = 0; i < s.Points; i++)
            {
                double t = s.Points == 1 ? 0 : (double)i / (s.Points - 1);
                long column = (long)Math.Round(Lattice.X.NumberAt(s.XFemtometres + t * (s.EndXFemtometres - s.XFemtometres)));
                long row = (long)Math.Round(Lattice.Y.NumberAt(s.YFemtometres + t * (s.EndYFemtometres - s.YFemtometres)));
                map[(column, row)] = map.GetValueOrDefault((column, row)) + (double)s.ChargeZeptocoulombs / s.Points;
            }
        }

        return map;
    }

    private static (double X, double Y, double Charge) Centroid(List<Stroke> strokes)
    {
        double x = 0, y = 0, charge = 0;
        foreach (Stroke s in strokes)
        {
            x += (double)s.ChargeZeptocoulombs * (s.XFemtometres + s.EndXFemtometres) / 2;
            y += (double)s.ChargeZeptocoulombs * (s.YFemtometres + s.EndYFemtometres) / 2;
            charge += s.ChargeZeptocoulombs;
        }

        return (x / charge, y / charge, charge);
    }

    /// <summary>Centroid of the polygon by the shoelace sums: an independent reckoning. Femtometres.</summary>
    private static (double X, double Y) Centroid(Figure figure)
    {
        Trapezoid t = figure.Shape;
        (double, double)[] corners = [(At(t.Left, t.YBottom), 0), (At(t.Right, t.YBottom), 0), (At(t.Right, t.YTop), t.YTop - t.YBottom), (At(t.Left, t.YTop), t.YTop - t.YBottom)];
        double twice = 0, x = 0, y = 0;
        for (int i = 0; i < 4; i++)
        {
            (double x0, double y0) = corners[i];
            (double x1, double y1) = corners[(i + 1) % 4];
            double cross = x0 * y1 - x1 * y0;
            twice += cross;
            x += (x0 + x1) * cross;
            y += (y0 + y1) * cross;
        }

        (x, y) = ((t.Left.Lower.X + x / (3 * twice)) * 1e5, (t.YBottom + y / (3 * twice)) * 1e5);
        return figure.IsTransposed ? (y, x) : (x, y);

        double At(GridEdge e, int height) =>
            e.Lower.X - t.Left.Lower.X + (double)(e.Upper.X - e.Lower.X) * (height - e.Lower.Y) / (e.Upper.Y - e.Lower.Y);
    }
}
