using CsCheck;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Instrument;

/// <summary>Five columns and three rows, 10 by 7 nm apart, with landings that follow no rule, against the definition of the kernel.</summary>
public sealed class GridCalibrationTests
{
    private const int Columns = 5;
    private const int Rows = 3;

    private static readonly (double X, double Y)[] Landings =
        [.. Enumerable.Range(0, Columns * Rows).Select(i => (-20 + i % Columns * 10 + i * i % 7 * 0.3, 5 + i / Columns * 7 - i * 3 % 5 * 0.2))];

    private static readonly GridCalibration Grid = new(Columns, Rows, (-20, 5), (10, 7), Landings);

    /// <summary>
    /// Cubic convolution with parameter −1/2 (R. Keys, IEEE Trans. Acoust. Speech Signal Process. 29, 1153 (1981); from memory): the
    /// kernel itself, over all nodes, and nodes beyond the border on the straight line through the two before them.
    /// </summary>
    [Fact]
    public void Landings_between_the_points_are_those_of_cubic_convolution() => Gen.Select(Gen.Double[-20, 20], Gen.Double[5, 19]).Sample((x, y) =>
    {
        (double shiftX, double shiftY) = (0, 0);
        for (int row = -1; row <= Rows; row++)
        {
            for (int column = -1; column <= Columns; column++)
            {
                double weight = Kernel((x + 20) / 10 - column) * Kernel((y - 5) / 7 - row);
                (double atX, double atY) = ShiftAt(column, row);
                (shiftX, shiftY) = (shiftX + weight * atX, shiftY + weight * atY);
            }
        }

        (double landX, double landY) = Grid.Land(x, y);
        Assert.Equal(x + shiftX, landX, 1e-9);
        Assert.Equal(y + shiftY, landY, 1e-9);
    }, iter: Iterations.Usually(100));

    [Fact]
    public void Beyond_the_border_the_shift_is_that_of_the_border()
    {
        foreach ((double x, double y, double atX, double atY) in new[] { (-27.0, 9.0, -20.0, 9.0), (33.0, 9.0, 20.0, 9.0), (3.0, 1.0, 3.0, 5.0), (3.0, 30.0, 3.0, 19.0) })
        {
            (double landX, double landY) = Grid.Land(x, y);
            (double borderX, double borderY) = Grid.Land(atX, atY);
            Assert.Equal(borderX - atX, landX - x, 1e-9);
            Assert.Equal(borderY - atY, landY - y, 1e-9);
        }
    }

    [Theory]
    [InlineData(-20, 5, true)]
    [InlineData(20, 19, true)]
    [InlineData(20, 5, true)]
    [InlineData(-20, 19, true)]
    [InlineData(-20.001, 9, false)]
    [InlineData(20.001, 9, false)]
    [InlineData(0, 4.999, false)]
    [InlineData(0, 19.001, false)]
    public void The_border_belongs_to_the_measured_area(double x, double y, bool isCovered) => Assert.Equal(isCovered, Grid.Covers(x, y));

    [Fact]
    public void A_grid_needs_two_points_along_each_side_and_all_its_landings()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new GridCalibration(1, 3, (0, 0), (1, 1), new (double, double)[3]));
        Assert.Throws<ArgumentOutOfRangeException>(() => new GridCalibration(3, 1, (0, 0), (1, 1), new (double, double)[3]));
        Assert.Throws<ArgumentOutOfRangeException>(() => new GridCalibration(2, 2, (0, 0), (1, 1), new (double, double)[3]));
        Assert.Equal((0.25, 0.5), new GridCalibration(2, 2, (0, 0), (1, 1), [(0, 0), (1, 0), (0, 1), (1, 1)]).Land(0.25, 0.5));
    }

    [Fact]
    public void Grids_that_differ_have_other_numbers()
    {
        IEnumerable<GridCalibration> grids =
        [
            Grid, new(Rows, Columns, (-20, 5), (10, 7), Landings), new(Columns, Rows, (-21, 5), (10, 7), Landings), new(Columns, Rows, (-20, 6), (10, 7), Landings),
            new(Columns, Rows, (-20, 5), (11, 7), Landings), new(Columns, Rows, (-20, 5), (10, 8), Landings),
            new(Columns, Rows, (-20, 5), (10, 7), [(0, Landings[0].Y), .. Landings[1..]]),
            new(Columns, Rows, (-20, 5), (10, 7), [(Landings[0].X, 0), .. Landings[1..]]),
        ];
        Assert.Equal(8, grids.Select(grid => string.Join(' ', grid.Numbers)).Distinct().Count());
    }

    // Coefficients: 1, u, v, u², uv, v², u³, u²v, uv², v³.
    [Fact]
    public void A_polynomial_has_its_terms_in_the_published_order() => Gen.Select(Gen.Double[-1, 1], Gen.Double[-1, 1]).Sample((u, v) =>
    {
        double[] x = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];
        double[] y = [.. x.Select(c => c * c)];
        double[] terms = [1, u, v, u * u, u * v, v * v, u * u * u, u * u * v, u * v * v, v * v * v];
        (double landX, double landY) = new FieldPolynomial(3, 50, x, y).Land(50 * u, 50 * v);
        Assert.Equal(x.Zip(terms, (c, t) => c * t).Sum(), landX, 1e-9);
        Assert.Equal(y.Zip(terms, (c, t) => c * t).Sum(), landY, 1e-9);
        Assert.Equal([3, 6, 10], new[] { 1, 2, 3 }.Select(FieldPolynomial.TermCount));
        var calibration = new PolynomialCalibration(new FieldPolynomial(3, 50, x, y));
        Assert.True(calibration.Covers(-50, 50) && calibration.Covers(50, -50) && !calibration.Covers(50.001, 0) && !calibration.Covers(0, -50.001));
    }, iter: Iterations.Usually(100));

    private static double Kernel(double at)
    {
        double s = Math.Abs(at);
        return s <= 1 ? (1.5 * s - 2.5) * s * s + 1 : s < 2 ? ((-0.5 * s + 2.5) * s - 4) * s + 2 : 0;
    }

    private static (double X, double Y) ShiftAt(int column, int row)
    {
        if (column is < 0 or >= Columns)
        {
            (int one, int two) = column < 0 ? (0, 1) : (Columns - 1, Columns - 2);
            return Beyond(ShiftAt(one, row), ShiftAt(two, row));
        }

        if (row is < 0 or >= Rows)
        {
            (int one, int two) = row < 0 ? (0, 1) : (Rows - 1, Rows - 2);
            return Beyond(ShiftAt(column, one), ShiftAt(column, two));
        }

        (double x, double y) = Landings[row * Columns + column];
        return (x - (-20 + column * 10), y - (5 + row * 7));

        static (double, double) Beyond((double X, double Y) last, (double X, double Y) before) => (2 * last.X - before.X, 2 * last.Y - before.Y);
    }
}
