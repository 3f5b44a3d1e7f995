using CsCheck;
using MathNet.Numerics;
using MathNet.Numerics.Integration;
using PatternCompiler.Geometry;
using PatternCompiler.Passes.Proximity;

namespace PatternCompiler.Tests.Passes.Proximity;

public class GaussianEnergyTests
{
    // Erf by M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, table 7.1: erf(0.5) = 0.5204998778.
    [Fact]
    public void The_centre_of_a_square_is_the_square_of_erf()
    {
        double energy = GaussianEnergy.OfTrapezoid(Trapezoid.FromRectangle(-50, -50, 50, 50), 0, 0, 100);
        Assert.Equal(0.5204998778 * 0.5204998778, energy, 9);
    }

    [Fact]
    public void The_edge_of_a_half_plane_is_one_half_and_its_corner_one_quarter()
    {
        var half = Trapezoid.FromRectangle(0, -100_000, 100_000, 100_000);
        Assert.Equal(0.5, GaussianEnergy.OfTrapezoid(half, 0, 0, 100), 12);
        var quarter = Trapezoid.FromRectangle(0, 0, 100_000, 100_000);
        Assert.Equal(0.25, GaussianEnergy.OfTrapezoid(quarter, 0, 0, 100), 12);
    }

    // Integration ends where a Gaussian is below 1e-7 of its integral.
    private const double Cut = 1e-7;

    // The edge of a half plane turned by 45 degrees is still one half, at a distance d from it (1 + erf(d/a))/2.
    [Theory]
    [InlineData(0, 0.5)]
    [InlineData(50, 0.5 + 0.5204998778 / 2)]
    [InlineData(-100, 0.5 - 0.8427007929 / 2)]
    public void A_slanted_edge_is_a_half_plane_too(double inside, double expected)
    {
        var slanted = new Trapezoid(
            -10_000,
            10_000,
            new GridEdge(new GridPoint(-10_000, -10_000), new GridPoint(10_000, 10_000)),
            new GridEdge(new GridPoint(50_000, -10_000), new GridPoint(50_000, 10_000)));
        double step = inside / Math.Sqrt(2);
        Assert.Equal(expected, GaussianEnergy.OfTrapezoid(slanted, step, -step, 100), Cut);
    }

    [Fact]
    public void A_nearly_flat_edge_is_a_half_plane_too()
    {
        var flat = new Trapezoid(
            -100,
            100,
            new GridEdge(new GridPoint(10_000, -100), new GridPoint(-10_000, 100)),
            new GridEdge(new GridPoint(20_000, -100), new GridPoint(20_000, 100)));
        // Above the slab nothing is drawn, below it neither: compare with the same shape summed from thin rectangles.
        double sum = 0;
        for (int y = -100; y < 100; y++)
        {
            double left = GaussianEnergy.XAt(flat.Left, y + 0.5);
            sum += GaussianEnergy.OfTrapezoid(Trapezoid.FromRectangle((int)Math.Round(left), y, 20_000, y + 1), 30, 5, 100);
        }

        Assert.Equal(sum, GaussianEnergy.OfTrapezoid(flat, 30, 5, 100), 4);
    }

    // Math.NET integrates slice by slice with its own error function; slopes up to where panels are no longer made smaller.
    [Fact]
    public void Any_trapezoid_gives_what_a_fine_integral_of_a_reference_library_gives() =>
        Gen.Select(Gen.Int[-400, 400].Array[4], Gen.Int[1, 600], Gen.Double[8, 200], Gen.Double[-450, 450], Gen.Double[-300, 700]).Sample(
            (corners, height, range, x, y) =>
            {
                int[] sorted = [.. corners.Order()];
                (int left, int leftAbove, int right, int rightAbove) = (sorted[0], sorted[1], sorted[2], sorted[3]);
                var shape = new Trapezoid(
                    0,
                    height,
                    new GridEdge(new GridPoint(left, 0), new GridPoint(leftAbove, height)),
                    new GridEdge(new GridPoint(right, 0), new GridPoint(rightAbove, height)));
                if (Math.Max(leftAbove - left, rightAbove - right) > 15 * height)
                {
                    return;
                }

                double expected = 0;
                int slices = 1 + (int)(height * 8 / range);
                for (int slice = 0; slice < slices; slice++)
                {
                    (double from, double to) = ((double)height * slice / slices, (double)height * (slice + 1) / slices);
                    expected += GaussLegendreRule.Integrate(
                        h => Math.Exp(-Math.Pow((h - y) / range, 2)) / (Math.Sqrt(Math.PI) * range) / 2
                            * (SpecialFunctions.Erf((right + (rightAbove - right) * h / height - x) / range)
                                - SpecialFunctions.Erf((left + (leftAbove - left) * h / height - x) / range)),
                        from,
                        to,
                        96);
                }

                Assert.Equal(expected, GaussianEnergy.OfTrapezoid(shape, x, y, range), Cut);
            },
            iter: Iterations.Usually(2000));

    // The bound that is stated: h^4/384 of the largest fourth derivative.
    [Fact]
    public void Tables_are_right_to_what_they_state()
    {
        for (double t = -6; t < 6; t += 0.001234567)
        {
            Assert.Equal(SpecialFunctions.Erf(t), GaussianTable.Erf(t), 2e-9);
            Assert.Equal(Math.Exp(-t * t), GaussianTable.Bell(t), 2e-9);
        }

        Assert.Equal((1.0, -1.0, 0.0, 0.0), (GaussianTable.Erf(1e300), GaussianTable.Erf(-1e300), GaussianTable.Bell(1e300), GaussianTable.Erf(0)));
    }

    // A line of charge L per length has the peak L/(√π·a) (common form of the line spread function).
    [Fact]
    public void A_long_line_peaks_at_one_over_root_pi_a()
    {
        double energy = GaussianEnergy.OfLine(new GridPoint(-10_000, -10_000), new GridPoint(10_000, 10_000), 0, 0, 100);
        Assert.Equal(1 / (Math.Sqrt(Math.PI) * 100), energy, 12);
    }
}
