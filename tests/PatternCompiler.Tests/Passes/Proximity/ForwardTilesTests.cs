using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Proximity;

public class ForwardTilesTests
{
    private const double Range = 100;
    private const int Across = 56;
    private const int Pitch = 120;
    private static readonly (double Line, double Dot) ChargeOf = (40, 2500);

    // Trapezoids of either direction with slanted, flat or upright sides, lines, dots, and some figures that are large, over a dense
    // tile and the beginning of its neighbours; doses from 0 to 1.
    private static readonly Gen<(Figure Figure, double Dose)[]> Drawing =
        Gen.Select(Gen.Int[0, 9], Gen.Int[0, 90].Array[6], Gen.Double[0, 1], Gen.Bool).Array[Across * Across + 200]
            .Select(drawn => drawn.Select((d, i) => (Draw(i, d.Item1, d.Item2, d.Item4), d.Item3)).ToArray());

    // Energies against the sum over all small figures, and what is distributed against the same sum turned round: sum over points
    // of their part in their figure's mean times the figure's energy there.
    [Fact]
    public void Energies_are_those_of_the_exact_sum() => Drawing.Sample(
        drawing =>
        {
            (Figure[] figures, double[] doses) = (Array.ConvertAll(drawing, d => d.Figure), Array.ConvertAll(drawing, d => d.Dose));
            (ForwardTiles tiles, FigurePoints points) = Prepare(figures);
            Assert.True(tiles.IsAnyDense);
            int[] small = [.. Enumerable.Range(0, figures.Length).Where(i => tiles.IsSmall(FigureBox.Of(figures[i])))];
            Assert.True(small.Length < figures.Length);
            var held = new HashSet<(int, int)>();
            tiles.HoldPoints(
                (figure, point, energy) =>
                {
                    // Some are held, whatever the energy is; it is looked at below.
                    lock (held)
                    {
                        return figure % 5 == 0 && held.Add((figure, point));
                    }
                },
                CancellationToken.None);
            var energies = new float[figures.Length];
            tiles.ComputeEnergies(Array.ConvertAll(doses, dose => (float)dose), energies, CancellationToken.None);
            var sums = new float[figures.Length];
            tiles.Distribute(figure => (float)doses[figure], sums, CancellationToken.None);
            Span<ControlPoint> own = stackalloc ControlPoint[ControlPoints.Most];
            var all = new List<(ControlPoint Place, double Value)>();
            double worst = 0;
            for (int figure = 0; figure < figures.Length; figure++)
            {
                int count = tiles.IsInDense(figure) ? points.Of(figure, own) : 0;
                double mean = 0;
                for (int i = 0; i < count; i++)
                {
                    if (own[i].OwnForward == 0 && !held.Contains((figure, i)))
                    {
                        all.Add((own[i], own[i].Weight * doses[figure]));
                        ControlPoint place = own[i];
                        mean += figure % 7 == 0 ? place.Weight * small.Sum(k => doses[k] * ForwardCoupling.Energy(figures[k], place, Range, ChargeOf)) : 0;
                    }
                }

                worst = Math.Max(worst, count > 0 && figure % 7 == 0 ? Math.Abs(energies[figure] - mean) : 0);
            }

            Assert.InRange(worst, 1e-9, ForwardTiles.LargestError);
            foreach (int figure in small.Where(i => i % 31 == 0))
            {
                double exact = all.Sum(p => p.Value * ForwardCoupling.Energy(figures[figure], p.Place, Range, ChargeOf));
                Assert.Equal(exact, sums[figure], 2e-3 * exact + 5e-4);
            }
        },
        iter: Iterations.Usually(5));

    // With other threads at work in another order.
    [Fact]
    public void Every_run_gives_the_same_doses()
    {
        Figure[] figures = [.. Enumerable.Range(0, Across * Across).Select(i => Draw(i, 0, [20, 0, 70, 0, 70, 70], false))];
        FiguresDocument Corrected() => ProximityPass.Run(
            new FiguresDocument(new FiguresHeader(100, ["a"]), figures),
            new ProximityOptions(SpreadFunction.TwoGaussian(Range / 10, 2000, 0.74), ProximityTarget.Edge, 0.005, 20, 100, 0, 1, 1),
            new DiagnosticSink(),
            CancellationToken.None).Figures;
        Assert.Equal(Corrected().Figures, Corrected().Figures);
    }

    [Fact]
    public void Few_figures_are_left_to_the_exact_sum()
    {
        Figure[] figures = [.. Enumerable.Range(0, 900).Select(i => Draw(i, 0, [20, 0, 70, 0, 70, 70], false))];
        Assert.False(Prepare(figures).Tiles.IsAnyDense);
    }

    private static (ForwardTiles Tiles, FigurePoints Points) Prepare(Figure[] figures)
    {
        var options = new ProximityOptions(SpreadFunction.TwoGaussian(10, 2000, 0.74), ProximityTarget.Edge, 0.005, 20, 100, 0, 1, 1);
        var points = new FigurePoints(figures, new FigureIndex(figures), new FigureDoses(["a"], options), options.Target);
        return (new ForwardTiles(figures, points, Range, ChargeOf), points);
    }

    // Within a cell of a square lattice, so that figures do not overlap; those after the lattice stand beside it and are large.
    private static Figure Draw(int number, int kind, int[] at, bool turned)
    {
        int x = number % Across * Pitch;
        int y = number / Across * Pitch;
        if (number >= Across * Across)
        {
            int up = y + 20 + (number - Across * Across) / Across * 5 * Pitch;
            return Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(x, up, x + Pitch - 20, up + Pitch * (kind < 5 ? 4 : 1)));
        }

        if (kind == 9)
        {
            return Figure.FromDot(0, DoseFactor.One, new GridPoint(x + at[0], y + at[1]));
        }

        if (kind == 8)
        {
            return Figure.FromLine(0, DoseFactor.One, new GridPoint(x + at[0], y + at[1]), new GridPoint(x + at[2], y + at[3] + 1));
        }

        if (kind == 7)
        {
            (x, y) = turned ? (y, x) : (x, y);
            return Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(x, y, x + at[0] + 1, y + at[1] + 1), turned);
        }

        (x, y) = turned ? (y, x) : (x, y);
        int top = y + 1 + at[4] * (kind < 3 ? 1 : 0) + at[5] % 9;
        return Figure.FromTrapezoid(
            0,
            DoseFactor.One,
            new Trapezoid(
                y,
                top,
                new GridEdge(new GridPoint(x + Math.Min(at[0], at[2]), y), new GridPoint(x + Math.Min(at[1], at[3]), top)),
                new GridEdge(new GridPoint(x + Math.Max(at[0], at[2]) + 1, y), new GridPoint(x + Math.Max(at[1], at[3]) + 1, top))),
            turned);
    }
}
