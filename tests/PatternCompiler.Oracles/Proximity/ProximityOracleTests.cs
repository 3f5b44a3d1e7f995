using MathNet.Numerics.Integration;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Oracles.Proximity;

public class ProximityOracleTests
{
    private const double Forward = 30;
    private const double Backscatter = 2000;
    private const double Ratio = 0.74;
    private const double GridNanometres = 0.1;

    // Lines and spaces of 10% to 90% density, blocks far apart. After correction the energy at the edges of each block's
    // middle line, integrated numerically without any of the pass's own functions, is the same for all within 1%.
    [Fact]
    public void Edge_energies_from_ten_to_ninety_percent_density_agree_within_one_percent()
    {
        var energies = new List<double>();
        for (int percent = 10; percent <= 90; percent += 20)
        {
            Figure[] block = Block(lineWidth: 200, pitch: 200 * 100 / percent, span: 16_000);
            (FiguresDocument corrected, _) = ProximityPass.Run(
                new FiguresDocument(new FiguresHeader(100, ["lines"]), block),
                new ProximityOptions(SpreadFunction.TwoGaussian(Forward, Backscatter, Ratio), ProximityTarget.Edge, 0.003, 80, 100, 0, 1, 1),
                new DiagnosticSink(),
                CancellationToken.None);
            energies.Add(EnergyAt(corrected.Figures, -100, 0));
            energies.Add(EnergyAt(corrected.Figures, 100, 0));
        }

        Assert.InRange(energies.Max() / energies.Min(), 1, 1.01);
        Assert.All(energies, e => Assert.InRange(e, 0.495, 0.505));
    }

    [Fact]
    public void Without_correction_they_do_not()
    {
        double sparse = EnergyAt(Block(200, 2000, 16_000), 100, 0);
        double dense = EnergyAt(Block(200, 222, 16_000), 100, 0);
        Assert.True(dense / sparse > 1.5);
    }

    // A line at x = 0 and its neighbours to both sides, over a square of the given span; lengths in nanometres.
    private static Figure[] Block(int lineWidth, int pitch, int span)
    {
        int side = span / 2 / pitch;
        int scale = (int)(1 / GridNanometres);
        return
        [
            .. Enumerable.Range(-side, 2 * side + 1).Select(i => Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(
                (i * pitch - lineWidth / 2) * scale, -span / 2 * scale, (i * pitch + lineWidth / 2) * scale, span / 2 * scale))),
        ];
    }

    // Gauss–Legendre quadrature of both Gaussians over every rectangle.
    private static double EnergyAt(IReadOnlyList<Figure> figures, double x, double y)
    {
        double energy = 0;
        foreach (Figure figure in figures)
        {
            Trapezoid t = figure.Shape;
            double Integral(double range) =>
                Integrate(t.Left.Lower.X * GridNanometres - x, t.Right.Lower.X * GridNanometres - x, range)
                * Integrate(t.YBottom * GridNanometres - y, t.YTop * GridNanometres - y, range);
            energy += figure.DoseFactor.Value * (Integral(Forward) + Ratio * Integral(Backscatter)) / (1 + Ratio);
        }

        return energy;
    }

    private static double Integrate(double from, double to, double range)
    {
        double low = Math.Max(from, -8 * range);
        double high = Math.Min(to, 8 * range);
        return low >= high
            ? 0
            : GaussLegendreRule.Integrate(r => Math.Exp(-r * r / (range * range)) / (Math.Sqrt(Math.PI) * range), low, high, 64);
    }
}
