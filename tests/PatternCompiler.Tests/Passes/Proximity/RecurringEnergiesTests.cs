using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Proximity;

public class RecurringEnergiesTests
{
    private const double Range = 80;
    private static readonly (double Line, double Dot) ChargeOf = (40, 2500);

    // Figures of every kind, seen from places between grid points: what a figure gives is what it gives anywhere else, to the last bit,
    // whether it was asked for before or not.
    [Fact]
    public void A_figure_gives_the_same_wherever_it_lies() => Gen.Select(
        Gen.Int[0, 400].Array[6], Gen.Int[0, 3], Gen.Int[0, 1000], Gen.Int[0, 1000], Gen.Int[-1_000_000_000, 1_000_000_000], Gen.Int[-1_000_000_000, 1_000_000_000])
        .Sample((at, kind, u, v, dx, dy) =>
        {
            // Halves, as the middles of sides are.
            (double x, double y) = (u / 2.0 - 50, v / 2.0 - 50);
            var kept = new RecurringEnergies(Range, ChargeOf);
            double energy = kept.At(Draw(at, kind, 0, 0), x, y);
            Assert.Equal(energy, kept.At(Draw(at, kind, dx, dy), x + dx, y + dy));
            Assert.Equal(energy, new RecurringEnergies(Range, ChargeOf).At(Draw(at, kind, dx, dy), x + dx, y + dy));
            Assert.Equal(ForwardCoupling.Energy(Draw(at, kind, 0, 0), new ControlPoint(x, y, 1, 0), Range, ChargeOf), energy, 1e-9);
        }, iter: Iterations.Usually(1000));

    private static Figure Draw(int[] at, int kind, int x, int y)
    {
        if (kind == 0)
        {
            return Figure.FromDot(0, DoseFactor.One, new GridPoint(x + at[0], y + at[1]));
        }

        if (kind == 1)
        {
            return Figure.FromLine(0, DoseFactor.One, new GridPoint(x + at[0], y + at[1]), new GridPoint(x + at[2], y + at[3]));
        }

        bool isTransposed = kind == 2;
        (x, y) = isTransposed ? (y, x) : (x, y);
        return Figure.FromTrapezoid(
            0,
            DoseFactor.One,
            new Trapezoid(
                y,
                y + at[4] + 1,
                new GridEdge(new GridPoint(x + Math.Min(at[0], at[2]), y), new GridPoint(x + Math.Min(at[1], at[3]), y + at[4] + 1)),
                new GridEdge(new GridPoint(x + Math.Max(at[0], at[2]) + 1, y), new GridPoint(x + Math.Max(at[1], at[3]) + 1, y + at[4] + 1))),
            isTransposed);
    }
}
