using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Proximity;

public class SplineStampTests
{
    private const double Pitch = 100;

    // The cubic B-spline by its recursion (C. de Boor, J. Approx. Theory 6, 50 (1972)), summed by the midpoint rule.
    [Fact]
    public void Tables_hold_the_integrals_of_the_spline()
    {
        const int Steps = 4000;
        (double once, double twice) = (0, 0);
        for (int i = 0; i < 4 * Steps; i++)
        {
            double u = -2 + (i + 0.5) / Steps;
            double spline = Spline(3, u + 2);
            (once, twice) = (once + spline / Steps, twice + (once + spline / Steps / 2) / Steps);
            float place = (float)(u + 0.5 / Steps + 6);
            Assert.Equal(once, At(SplineIntegrals.Once, place, 6), 3e-5);
            Assert.Equal(twice, At(SplineIntegrals.Twice, place, 6), 3e-5);
        }

        Assert.Equal((1, 0), (At(SplineIntegrals.Once, 9.3f, 1), At(SplineIntegrals.Once, 1.3f, 12)));
        Assert.Equal(8.3, At(SplineIntegrals.Twice, 9.3f, 1), 1e-5);

        static double Spline(int degree, double u) => degree == 0
            ? u is >= 0 and < 1 ? 1 : 0
            : (u * Spline(degree - 1, u) + (degree + 1 - u) * Spline(degree - 1, u - 1)) / degree;

        static double At(float[] table, float place, int node)
        {
            ref float found = ref SplineIntegrals.Find(table, place, out float rest);
            return SplineIntegrals.At(ref found, rest, node)[0];
        }
    }

    // A cubic B-spline gives back 1, and the place (its moments of order 0 and 1 are exact; C. de Boor, A Practical Guide to Splines,
    // 1978): the stamp holds the figure's area and its centre.
    [Fact]
    public void A_stamp_holds_the_charge_of_its_figure_at_its_centre() => Gen.Select(
        Gen.Int[-500, 500], Gen.Int[-500, 500], Gen.Int[0, 550].Array[4], Gen.OneOf(Gen.Int[1, 40], Gen.Int[1, 550]), Gen.Bool).Sample((x, y, at, height, isTransposed) =>
    {
        (int a, int b) = (Math.Min(at[0], at[2]), Math.Max(at[0], at[2]) + 1);
        (int c, int d) = (Math.Min(at[1], at[3]), Math.Max(at[1], at[3]) + 1);
        var shape = new Trapezoid(
            y, y + height, new GridEdge(new GridPoint(x + a, y), new GridPoint(x + c, y + height)), new GridEdge(new GridPoint(x + b, y), new GridPoint(x + d, y + height)));
        var stamp = new SplineStamp();
        stamp.Make(Figure.FromTrapezoid(0, DoseFactor.One, shape, isTransposed), -2000, -1500, Pitch, (1, 1));
        (double sum, double across, double upward) = (0, 0, 0);
        for (int row = 0; row < stamp.Rows; row++)
        {
            for (int column = 0; column < stamp.Columns; column++)
            {
                double weight = stamp.WeightsOf(row)[column];
                (sum, across, upward) = (sum + weight, across + weight * (stamp.Column + column), upward + weight * (stamp.Row + row));
            }
        }

        double area = (b - a + d - c) / 2.0 * height;
        double middle = x + height * ((b * b - a * a) + (d * d - c * c) + (b * d - a * c)) / 6.0 / area;
        double centre = y + height * (b - a + 2.0 * (d - c)) / (3.0 * (b - a + d - c));
        (middle, centre) = isTransposed ? (centre, middle) : (middle, centre);
        Assert.Equal(area / (Pitch * Pitch), sum, 1e-5 + 1e-4 * sum);
        Assert.Equal((middle + 2000) / Pitch, across / sum, 2e-3);
        Assert.Equal((centre + 1500) / Pitch, upward / sum, 2e-3);
    }, iter: Iterations.Usually(500));
}
