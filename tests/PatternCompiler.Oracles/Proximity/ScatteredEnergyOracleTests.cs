using MathNet.Numerics;
using MathNet.Numerics.Integration;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Oracles.Proximity;

/// <summary>Energies and corrected doses against direct quadrature (MathNet) and closed forms.</summary>
public class ScatteredEnergyOracleTests
{
    private const double GridNanometres = 0.1;

    // A map of cells an eighth of the range wide, blurred along x and then y, against the double integral over the figure.
    // 5·10⁻³ of a large area's energy is what the correction's tolerance is made of.
    [Theory]
    [InlineData(SpreadShape.Gaussian)]
    [InlineData(SpreadShape.Exponential)]
    public void Maps_agree_with_the_integral_of_the_term(SpreadShape shape)
    {
        const double Range = 500;
        var trapezoid = new Trapezoid(
            0, 18_000, new GridEdge(new GridPoint(0, 0), new GridPoint(6_000, 18_000)), new GridEdge(new GridPoint(30_000, 0), new GridPoint(17_000, 18_000)));
        Figure[] figures = [Figure.FromTrapezoid(0, DoseFactor.One, trapezoid)];
        var map = new DensityMap(figures, shape, Range / GridNanometres, (1, 1));
        map.Update([1]);
        foreach ((double x, double y) in ((double, double)[])[(1500, 900), (1500, 0), (400, 300), (2200, 1500), (2950, 50), (900, 1780)])
        {
            double expected = Integral(shape, Range, trapezoid, x, y);
            Assert.Equal(expected, map.At(x / GridNanometres, y / GridNanometres), 5e-3);
        }
    }

    // The energy across the edge of a half plane: of a Gaussian the error function; of exp(-r/g) the integral of x K1(x)/pi, from
    // integrating along the edge (Abramowitz and Stegun, 9.6.24). Where a second pad far away makes the cells larger, the map
    // states how wrong it may be; wherever the edge lies within a cell, it is no more wrong, and not much less either.
    [Theory]
    [InlineData(SpreadShape.Gaussian, 0, 0.00071, 0.00073)]
    [InlineData(SpreadShape.Gaussian, 3_000_000, 0.0130, 0.0131)]
    [InlineData(SpreadShape.Gaussian, 4_000_000, 0.0228, 0.0229)]
    [InlineData(SpreadShape.Exponential, 0, 0.00022, 0.00023)]
    [InlineData(SpreadShape.Exponential, 4_000_000, 0.00720, 0.00722)]
    public void Coarse_maps_state_their_error(SpreadShape shape, double apartNanometres, double least, double most)
    {
        const double Range = 2000;
        double stated = 0;
        double worst = 0;
        for (int shift = 0; shift < 8; shift++)
        {
            int edge = 300 * shift * (apartNanometres > 0 ? 10 : 1);
            int apart = (int)(apartNanometres / GridNanometres);
            Figure[] figures =
            [
                Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(edge, -300_000, edge + 400_000, 400_000)),
                Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(800_000 + apart, apart, 1_000_000 + apart, apart + 200_000)),
                Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(-200_000, 0, -199_999, 1)),
            ];
            var map = new DensityMap(figures, shape, Range / GridNanometres, (1, 1));
            map.Update([.. figures.Select(_ => 1f)]);
            stated = map.LargestEdgeError;
            for (double x = 25 - 2 * Range; x <= 2 * Range; x += 50)
            {
                worst = Math.Max(worst, Math.Abs(map.At(edge + x / GridNanometres, 50_000) - AcrossAnEdge(shape, x / Range)));
            }
        }

        Assert.InRange(stated, least, most);
        Assert.InRange(worst, stated / 3, stated);
    }

    // Deep inside a pad that is large against all ranges, all terms but the forward one add their whole ratio, and the
    // corrected dose is D = (1 + r)/(1 + 2r), r the sum of all other ratios (closed form; at r = 0.74 the 0.70161 of the
    // edge-equalising rule D(U) = (1+η)/(1+2ηU)).
    [Fact]
    public void The_inside_of_a_large_pad_with_three_gaussians_and_a_tail()
    {
        var spread = new SpreadFunction(
        [
            new(SpreadShape.Gaussian, 40, 1), new(SpreadShape.Gaussian, 1000, 0.6), new(SpreadShape.Gaussian, 400, 0.2), new(SpreadShape.Exponential, 300, 0.1),
        ]);
        Figure pad = Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(-40_000, -40_000, 40_000, 40_000));
        FiguresDocument corrected = Correct([pad], spread);
        double inside = corrected.Figures.Single(f => Covers(f, 1, 1)).DoseFactor.Value;
        Assert.Equal(1.9 / 2.8, inside, 0.005);
    }

    // In the middle of a wide grating every line sees the density U = d, so that the edge-equalising rule
    // D(U) = (1+η)/(1+2ηU) is exact: at η = 0.74 it gives 1.27007 at d = 1/4 and 1 at d = 1/2 (closed form for α much smaller
    // than the line and the pitch much smaller than β; as an approximation for other patterns J. M. Pavkovich, J. Vac. Sci.
    // Technol. B 4, 159 (1986), from memory).
    [Theory]
    [InlineData(1600, 1.27007)]
    [InlineData(800, 1.0)]
    public void The_middle_of_a_wide_grating(int pitchNanometres, double expected)
    {
        const int LineNanometres = 400;
        int pitch = (int)(pitchNanometres / GridNanometres);
        int half = (int)(LineNanometres / 2 / GridNanometres);
        int side = 300_000 / pitch;
        Figure[] lines =
        [
            .. Enumerable.Range(-side, 2 * side + 1).Select(i => Figure.FromTrapezoid(
                0, DoseFactor.One, Trapezoid.FromRectangle(i * pitch - half, -300_000, i * pitch + half, 300_000))),
        ];
        FiguresDocument corrected = Correct(lines, SpreadFunction.TwoGaussian(30, 5000, 0.74));
        Assert.Equal(expected, corrected.Figures.Single(f => Covers(f, 1, 1)).DoseFactor.Value, 0.006 * expected);
    }

    private static FiguresDocument Correct(Figure[] figures, SpreadFunction spread) => ProximityPass.Run(
        new FiguresDocument(new FiguresHeader(100, ["a"]), figures),
        new ProximityOptions(spread, ProximityTarget.Edge, 0.004, 80, 100, 0, 1, 1),
        new DiagnosticSink(),
        CancellationToken.None).Figures;

    private static bool Covers(Figure figure, int x, int y) =>
        figure.Shape.YBottom <= y && y < figure.Shape.YTop && figure.Shape.Left.Lower.X <= x && x < figure.Shape.Right.Lower.X;

    // Row by row, in pieces short against the range: the exponential has a cusp.
    private static double AcrossAnEdge(SpreadShape shape, double ranges) => 0.5 + (shape == SpreadShape.Gaussian
        ? SpecialFunctions.Erf(ranges) / 2
        : Math.Sign(ranges) * GaussLegendreRule.Integrate(x => x * SpecialFunctions.BesselK1(x) / Math.PI, 0, Math.Abs(ranges), 64));

    private static double Integral(SpreadShape shape, double range, Trapezoid t, double x, double y)
    {
        const int Pieces = 48;
        double XAt(GridEdge edge, double v) =>
            GridNanometres * (edge.Lower.X + (v / GridNanometres - edge.Lower.Y) * (edge.Upper.X - edge.Lower.X) / (edge.Upper.Y - edge.Lower.Y));
        double Row(double v)
        {
            double left = XAt(t.Left, v);
            double width = (XAt(t.Right, v) - left) / Pieces;
            return Enumerable.Range(0, Pieces).Sum(i => GaussLegendreRule.Integrate(u => Form(shape, range, u - x, v - y), left + i * width, left + (i + 1) * width, 8));
        }

        double height = (t.YTop - t.YBottom) * GridNanometres / Pieces;
        return Enumerable.Range(0, Pieces).Sum(i => GaussLegendreRule.Integrate(Row, i * height, (i + 1) * height, 8));
    }

    private static double Form(SpreadShape shape, double range, double dx, double dy)
    {
        double squared = dx * dx + dy * dy;
        return shape == SpreadShape.Gaussian
            ? Math.Exp(-squared / (range * range)) / (Math.PI * range * range)
            : Math.Exp(-Math.Sqrt(squared) / range) / (2 * Math.PI * range * range);
    }
}
