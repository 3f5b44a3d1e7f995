using CsCheck;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Instrument;

public class FieldCalibrationTests
{
    private const double HalfField = 50_000;

    // A field of ±50 µm with 0.5% scale error, 3 mrad rotation and up to 100 nm of second- and third-order bend.
    private static readonly PolynomialCalibration Polynomial = new(new FieldPolynomial(
        3,
        HalfField,
        [25, 50_250, -150, 60, -40, 30, 80, -20, 35, -50],
        [-40, 150, 49_900, -30, 55, 20, 10, 45, -25, 70]));

    private static readonly Gen<(double X, double Y)> Places = Gen.Select(Gen.Double[-45_000, 45_000], Gen.Double[-45_000, 45_000]);

    [Fact]
    public void A_commanded_position_lands_where_it_is_wanted() => Places.Sample(place =>
    {
        Assert.True(Polynomial.TryCommand(place.X, place.Y, out double x, out double y));
        (double landX, double landY) = Polynomial.Land(x, y);
        Assert.Equal(place.X, landX, MeasuredCalibration.ToleranceNanometres);
        Assert.Equal(place.Y, landY, MeasuredCalibration.ToleranceNanometres);
    }, iter: Iterations.Usually(100));

    [Fact]
    public void A_place_beyond_the_calibrated_area_has_no_command()
    {
        Assert.False(Polynomial.TryCommand(51_000, 0, out _, out _));
        Assert.False(Polynomial.TryCommand(1e9, -1e9, out _, out _));
    }

    [Fact]
    public void The_affine_part_touches_the_calibration_at_the_centre()
    {
        AffineCalibration centre = Polynomial.AtCentre;
        (double landX, double landY) = Polynomial.Land(0, 0);
        Assert.True(centre.TryCommand(landX, landY, out double x, out double y));
        Assert.Equal(0, x, 1e-6);
        Assert.Equal(0, y, 1e-6);
        Assert.True(Polynomial.TryCommand(landX + 10, landY - 20, out double exactX, out double exactY));
        Assert.True(centre.TryCommand(landX + 10, landY - 20, out x, out y));
        Assert.Equal(exactX, x, 1e-3);
        Assert.Equal(exactY, y, 1e-3);
    }

    [Fact]
    public void An_affine_calibration_lands_where_its_inverse_says() => Places.Sample(place =>
    {
        var affine = new AffineCalibration(1.01, 0.003, 20, -0.002, 0.99, -30);
        Assert.True(affine.TryCommand(place.X, place.Y, out double x, out double y));
        (double landX, double landY) = affine.Land(x, y);
        Assert.Equal(place.X, landX, 1e-9);
        Assert.Equal(place.Y, landY, 1e-9);
    }, iter: Iterations.Usually(100));

    // Cubic convolution reproduces a parabola exactly away from the border (Keys 1981).
    [Fact]
    public void A_measured_grid_of_a_parabola_is_exact_inside()
    {
        var parabola = new FieldPolynomial(2, HalfField, [10, 50_100, 40, 80, 30, -60], [-5, 20, 49_950, -70, 25, 90]);
        GridCalibration grid = GridOf(parabola, 9);
        Gen.Select(Gen.Double[-37_000, 37_000], Gen.Double[-37_000, 37_000]).Sample(command =>
        {
            (double x, double y) = grid.Land(command.Item1, command.Item2);
            (double trueX, double trueY) = parabola.Land(command.Item1, command.Item2);
            Assert.Equal(trueX, x, 1e-8);
            Assert.Equal(trueY, y, 1e-8);
        }, iter: Iterations.Usually(100));
    }

    [Fact]
    public void A_measured_grid_lands_on_its_own_points_and_inverts() => Places.Sample(place =>
    {
        GridCalibration grid = GridOf(Polynomial.Polynomial, 9);
        (double x, double y) = grid.Land(-25_000, 37_500);
        (double trueX, double trueY) = Polynomial.Land(-25_000, 37_500);
        Assert.Equal(trueX, x, 1e-8);
        Assert.Equal(trueY, y, 1e-8);
        Assert.True(grid.TryCommand(place.X, place.Y, out double commandedX, out double commandedY));
        (double landX, double landY) = grid.Land(commandedX, commandedY);
        Assert.Equal(place.X, landX, MeasuredCalibration.ToleranceNanometres);
        Assert.Equal(place.Y, landY, MeasuredCalibration.ToleranceNanometres);
    }, iter: Iterations.Usually(100));

    [Fact]
    public void A_measured_grid_says_nothing_beyond_its_border()
    {
        GridCalibration grid = GridOf(Polynomial.Polynomial, 9);
        Assert.False(grid.TryCommand(52_000, 0, out _, out _));
        Assert.False(grid.TryCommand(0, -51_000, out _, out _));
    }

    [Fact]
    public void A_code_that_is_looked_up_gives_the_output_it_was_looked_up_for()
    {
        var linearity = new CodeLinearity([(0, 0.2), (2047, 0.6), (2048, -0.3), (4095, 0)]);
        Gen.Double[-10, 4110].Sample(output => Assert.Equal(output, linearity.OutputOf(linearity.CodeFor(output)), 1e-9), iter: Iterations.Usually(100));
        Assert.Equal(2048, linearity.CodeFor(2047.7), 1e-12);
        Assert.Equal(2047.6, linearity.OutputOf(2047), 1e-12);
    }

    private static GridCalibration GridOf(FieldPolynomial field, int side)
    {
        double step = 2 * HalfField / (side - 1);
        return new GridCalibration(side, side, (-HalfField, -HalfField), (step, step),
        [
            .. from row in Enumerable.Range(0, side)
               from column in Enumerable.Range(0, side)
               select field.Land(-HalfField + column * step, -HalfField + row * step),
        ]);
    }
}
