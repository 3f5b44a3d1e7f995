using MathNet.Numerics;
using PatternCompiler.Calibration.DoseToSize;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Calibration;

/// <summary>
/// The rows of the fit of widths from their definitions: energies as sums of error functions strip by strip and range by range, a bar and an
/// area of finite length among them, slopes by differences.
/// </summary>
public sealed class WidthModelTests
{
    private const double Long = double.PositiveInfinity;
    private static readonly double[] Stated = [60, 4000, 0.74];
    private static readonly SpreadFunction Spread = SpreadFunction.TwoGaussian(60, 4000, 0.74);

    private static readonly DoseReading[] Readings =
    [
        new(new DoseFeature(DoseFeatureKind.Bar, 300, 2500, 1, 0, Long), 500, 290, double.NaN, null),
        new(new DoseFeature(DoseFeatureKind.Bar, 200, Long, 5, 450, Long), 600, 215, double.NaN, null),
        new(new DoseFeature(DoseFeatureKind.Gap, 250, 3000, 1, 0, 4000), 400, 240, double.NaN, null),
    ];

    private static readonly (double Left, double Right)[][] Strips =
    [
        [(-150, 150)], [(-1000, -800), (-550, -350), (-100, 100), (350, 550), (800, 1000)], [(-4125, -125), (125, 4125)],
    ];

    [Fact]
    public void Energies_and_their_slopes_are_those_of_strips_of_finite_length()
    {
        for (int row = 0; row < 3; row++)
        {
            foreach (double x in (double[])[0, 40, -145, 210, 900])
            {
                (double energy, double slope) = DoseFeature.EnergyAt(Spread, Readings[row].Feature.Strips(), Readings[row].Feature.LengthNanometres, x);
                Assert.Equal(Energy(row, x, Stated), energy, 1e-12);
                Assert.Equal((Energy(row, x + 0.01, Stated) - Energy(row, x - 0.01, Stated)) / 0.02, slope, 1e-9);
            }

            Assert.Equal(Energy(row, 0, Stated), Readings[row].Feature.MiddleEnergy(Spread), 1e-12);
            Assert.Equal(Energy(row, row == 1 ? 100 : row == 0 ? 150 : 125, Stated), Readings[row].Feature.EdgeEnergy(Spread), 1e-12);
        }

        // Drawn 20 nm narrower on every side of what is exposed, the edges are those of a bar of 260 nm and of a gap of 290 nm between 3960 nm.
        Assert.Equal(Of([(-130, 130)], 2500, 130, Stated), Readings[0].Feature.EdgeEnergy(Spread, 20), 1e-12);
        Assert.Equal(Of([(-4105, -145), (145, 4105)], 3000, 145, Stated), Readings[2].Feature.EdgeEnergy(Spread, 20), 1e-12);

        // A square is as long as it is wide, whatever length it has.
        Assert.Equal(Of([(-150, 150)], 300, 0, Stated), new DoseFeature(DoseFeatureKind.Square, 300, 7, 1, 0, Long).MiddleEnergy(Spread), 1e-12);
    }

    [Fact]
    public void Rows_of_widths_of_the_spread_and_of_squares()
    {
        var model = new WidthModel(Readings, Spread, new SpreadError(Spread, 0.05)) { WidthError = 3 };
        double[] p = [Math.Log(240), 4, 0.3, -0.5, 0.7];
        Assert.Equal((5, 6), (model.ParameterCount, model.RowCount));
        double[] weights = [.. Enumerable.Range(0, 3).Select(row =>
        {
            double slope = (LogEnergy(row, -0.01, Stated) - LogEnergy(row, 0.01, Stated)) / 0.02;
            return 1 / Math.Sqrt((slope * slope / 4) + Math.Pow(0.01 / 4, 2));
        })];
        Assert.Equal(
            Math.Sqrt(Enumerable.Range(0, 3).Average(row => Math.Pow(weights[row] * (LogEnergy(row, 4, Stated) - p[0]), 2))), model.RootMeanSquare(p), 1e-4);
        model.Add(new SquareReadings(Math.Log(230), 0.02, null, 200, 260) { SpreadSlopes = [0.01, -0.02, 0.03] }, 0.04);
        Assert.Equal(7, model.RowCount);
        double[] residuals = Evaluate(p, out double[] slopes);
        for (int row = 0; row < 3; row++)
        {
            Assert.Equal(LogEnergy(row, 0, Stated), model.LogThresholdOf(row), 1e-12);
            double spread = Enumerable.Range(0, 3).Sum(i => p[2 + i] * 0.05 * (LogEnergy(row, 0, Off(i, 1.001)) - LogEnergy(row, 0, Off(i, 0.999))) / 0.002);
            Assert.Equal(weights[row] * (LogEnergy(row, 4, Stated) + spread - p[0]), residuals[row], 1e-4);
        }

        Assert.Equal([0.9, -1.5, 2.1], residuals[3..6], (a, b) => Math.Abs(a - b) < 1e-12);
        Assert.Equal(3 / 0.04 * (Math.Log(230) + (0.01 * 0.3) + (0.02 * 0.5) + (0.03 * 0.7) - p[0]), residuals[6], 1e-9);
        for (int i = 0; i < 5; i++)
        {
            double[] more = [.. p], less = [.. p];
            (more[i], less[i]) = (p[i] + 1e-4, p[i] - 1e-4);
            double[] up = Evaluate(more, out _), down = Evaluate(less, out _);
            for (int row = 0; row < 7; row++)
            {
                Assert.Equal((up[row] - down[row]) / 2e-4, slopes[(row * 5) + i], 1e-5 * (1 + Math.Abs(slopes[(row * 5) + i])));
            }
        }

        double[] Evaluate(double[] at, out double[] derivatives)
        {
            var result = new double[7];
            derivatives = [.. Enumerable.Repeat(9.0, 35)];
            Assert.True(model.Evaluate(at, result, derivatives));
            return result;
        }
    }

    /// <summary>A relative error of 5 % of every range and of the ratio; the forward term's ratio of 1 is none.</summary>
    [Fact]
    public void A_spread_may_be_off_by_every_range_and_ratio()
    {
        var error = new SpreadError(Spread, 0.05);
        Assert.Equal(3, error.Count);
        Assert.Equal([0.05, 0, 0], error.Slopes(spread => Math.Log(spread.Terms[0].RangeNanometres)), Near);
        Assert.Equal([0, 0.05, 0], error.Slopes(spread => Math.Log(spread.Terms[1].RangeNanometres)), Near);
        Assert.Equal([0, 0, 0.05], error.Slopes(spread => Math.Log(spread.Terms[1].Ratio)), Near);
        Assert.Equal([0, 0, 0], error.Slopes(spread => spread.Terms[0].Ratio), Near);
        Assert.Equal(0, new SpreadError(Spread, 0).Count);

        static bool Near(double a, double b) => Math.Abs(a - b) < 1e-7;
    }

    [Theory]
    [InlineData(200, 300, "between 200 and 300 uC/cm2")]
    [InlineData(200, Long, "above 200 uC/cm2")]
    [InlineData(0, 300.25, "below 300.25 uC/cm2")]
    public void Squares_bound_a_threshold(double low, double high, string where)
    {
        bool tells = low > 0 && double.IsFinite(high);
        var squares = new SquareReadings(tells ? Math.Log(low * high) / 2 : double.NaN, double.NaN, null, low, high);
        Assert.Equal((where, tells), (squares.Where, squares.Tells));
        foreach (double threshold in (double[])[100, 250, 400])
        {
            double nearest = Math.Clamp(threshold, low, high);
            Assert.Equal(Math.Log(nearest), squares.Nearest(Math.Log(threshold), 3), 1e-12);
            Assert.Equal(Math.Abs(Math.Log(threshold / nearest)), squares.Apart(Math.Log(threshold)), 1e-12);
        }
    }

    private static double[] Off(int which, double factor)
    {
        double[] changed = [.. Stated];
        changed[which] *= factor;
        return changed;
    }

    private static double LogEnergy(int row, double bias, double[] spread)
    {
        double place = (Readings[row].WidthNanometres / 2) + (row == 2 ? bias : -bias);
        return Math.Log(Readings[row].Dose) + ((Math.Log(Energy(row, place, spread)) + Math.Log(Energy(row, -place, spread))) / 2);
    }

    private static double Energy(int row, double x, double[] spread) => Of(Strips[row], Readings[row].Feature.LengthNanometres, x, spread);

    private static double Of((double Left, double Right)[] strips, double length, double x, double[] spread)
    {
        double Part(double a) => SpecialFunctions.Erf(length / (2 * a)) * strips.Sum(strip => SpecialFunctions.Erf((strip.Right - x) / a) - SpecialFunctions.Erf((strip.Left - x) / a)) / 2;
        return (Part(spread[0]) + (spread[2] * Part(spread[1]))) / (1 + spread[2]);
    }
}
