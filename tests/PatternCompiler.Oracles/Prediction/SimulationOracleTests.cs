using MathNet.Numerics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Oracles.Prediction;

/// <summary>
/// Energies of simple patterns in closed form for the two-Gaussian function (T. H. P. Chang, J. Vac. Sci. Technol. 12,
/// 1271 (1975)): half plane [(1+erf(x/a))/2 + η(1+erf(x/b))/2]/(1+η), strip centre [erf(w/2a)+η·erf(w/2b)]/(1+η).
/// Parameters a 0.12 µm, b 2.0 µm, η 0.74 as tabulated for 20 kV by McCord and Rooks (1997, ch. 2; from memory).
/// </summary>
public class SimulationOracleTests
{
    private const double Dose = 2;
    private static readonly SpreadFunction Spread = SpreadFunction.TwoGaussian(120, 2000, 0.74);

    [Theory]
    [InlineData(500, 0.632539, 0.346115)]
    [InlineData(1000, 0.692231, 0.398037)]
    [InlineData(2000, 0.796075, 0.466551)]
    [InlineData(5000, 0.967210, 0.499913)]
    public void Strips(double width, double centre, double edge)
    {
        ChargeMap map = Uniform(25, -width / 2, -7000, width / 2, 7000);
        Assert.Equal(centre, Energy(map, Spread, 0, 0) / Dose, 4e-4);

        // The drawn edge runs between pixel centres.
        Assert.Equal(edge, Energy(map, Spread, width / 2, 0) / Dose, 4e-4);
    }

    [Theory]
    [InlineData(200, 0.334536, 0.139778)]
    [InlineData(1000, 0.607186, 0.172483)]
    [InlineData(2000, 0.689932, 0.219182)]
    public void Squares(double width, double centre, double corner)
    {
        ChargeMap map = Uniform(20, -width / 2, -width / 2, width / 2, width / 2);
        Assert.Equal(centre, Energy(map, Spread, 0, 0) / Dose, 6e-4);
        Assert.Equal(corner, Energy(map, Spread, width / 2, width / 2) / Dose, 6e-4);
    }

    /// <summary>A large pad has energy 1 inside and ½ at its edge, whatever the terms; ¼ at its corner.</summary>
    [Fact]
    public void A_large_pad_with_three_terms()
    {
        var spread = new SpreadFunction(
            [new(SpreadShape.Gaussian, 60, 1), new(SpreadShape.Gaussian, 700, 0.6), new(SpreadShape.Exponential, 400, 0.3)]);
        ChargeMap map = Uniform(25, 0, 0, 9_000, 9_000);
        Assert.Equal(1, Energy(map, spread, 4500, 4500) / Dose, 1e-3);
        Assert.Equal(0.5, Energy(map, spread, 0, 4500) / Dose, 1e-3);
        Assert.Equal(0.25, Energy(map, spread, 9_000, 9_000) / Dose, 1e-3);
    }

    /// <summary>Where the wide terms are cut off by a window, charge outside it still scatters in.</summary>
    [Fact]
    public void A_window_sees_the_background_of_its_surroundings()
    {
        var window = new SampleWindow(-600, -600, 600, 600);
        var map = new ChargeMap(20, window);
        for (double y = -8990; y < 9000; y += 20)
        {
            for (double x = -990; x < 1000; x += 20)
            {
                map.Deposit(x, y, Dose * 400e-18);
            }
        }

        Assert.Equal(0.796075, Energy(map, Spread, 0, 0) / Dose, 1e-3);
    }

    /// <summary>
    /// Without background the edge lies where ½·(1 + erf(−x/a)) meets the level: a known shift for every level
    /// (inverse error function by MathNet).
    /// </summary>
    [Theory]
    [InlineData(0.2)]
    [InlineData(0.35)]
    [InlineData(0.5)]
    [InlineData(0.7)]
    public void Edges_lie_where_the_level_says(double level)
    {
        const double Range = 30;
        const double Pixel = 5;
        ChargeMap map = Uniform(Pixel, -500, -500, 500, 500);
        ContourSet square = ContourSet.FromRing(new(-5000, -5000), new(5000, -5000), new(5000, 5000), new(-5000, 5000));
        var options = new SimulationOptions(new SpreadFunction([new(SpreadShape.Gaussian, Range, 1)]), 0, level * Dose) { CornerNanometres = 120 };
        EdgeErrorReport edges = Developer.Run(map, DrawnPattern.OfAreas(square), options, CancellationToken.None).Edges!;
        double expected = Range * SpecialFunctions.ErfInv(1 - 2 * level);
        Assert.Equal(0, edges.Lost);
        Assert.Equal(expected, edges.MeanNanometres, 0.05);
        Assert.True(edges.ThreeSigmaNanometres < 0.05, $"{edges.ThreeSigmaNanometres}");
        Assert.Equal(expected, edges.WorstNanometres, 0.1);
    }

    /// <summary>
    /// A straight edge under a single Gaussian stays within ±e for dose factors 1/(1+erf(e/a)) to 1/(1−erf(e/a)): closed form
    /// of the window without bias; with bias b the errors are e±b.
    /// </summary>
    [Theory]
    [InlineData(0)]
    [InlineData(2)]
    public void Process_window_of_straight_edges(double bias)
    {
        const double Range = 30;
        const double Limit = 5;
        ChargeMap map = Uniform(5, -500, -500, 500, 500);
        ContourSet square = ContourSet.FromRing(new(-5000, -5000), new(5000, -5000), new(5000, 5000), new(-5000, 5000));
        var options = new SimulationOptions(new SpreadFunction([new(SpreadShape.Gaussian, Range, 1)]), 0, Dose / 2) { CornerNanometres = 120 };
        ProcessWindowReport window = ProcessWindow.Measure(
            map, square, options, [.. Enumerable.Range(0, 36).Select(i => 0.7 + 0.02 * i)], Limit, CancellationToken.None);
        (double low, double high) = window.RangeAt(bias)!.Value;
        double expectedLow = 1 / (1 + SpecialFunctions.Erf((Limit + bias) / Range));
        double expectedHigh = 1 / (1 - SpecialFunctions.Erf((Limit - bias) / Range));
        Assert.Equal(expectedLow, low, 0.004);
        Assert.Equal(expectedHigh, high, 0.004);
        Assert.Equal(2 * (high - low) / (high + low), window.LatitudeAt(bias), 1e-12);
        Assert.Null(window.RangeAt(60));
    }

    /// <summary>
    /// A dot of charge Q has energy Q/(πa²)·exp(−r²/a²): the printed disc has radius a·√(ln(Q/(πa²·level))) wherever the dot
    /// lies between pixels and across tiles.
    /// </summary>
    [Theory]
    [InlineData(0, 0)]
    [InlineData(3.3, -1.7)]
    [InlineData(1280, 640.5)]
    [InlineData(-1278.9, -1281.2)]
    public void A_dot_prints_a_disc(double x, double y)
    {
        const double Range = 40;
        const double Charge = 1e-14;
        var map = new ChargeMap(5);
        map.Deposit(x, y, Charge);
        double peak = Charge / (Math.PI * Range * Range * 1e-18);
        var options = new SimulationOptions(new SpreadFunction([new(SpreadShape.Gaussian, Range, 1)]), 0, peak / 3);
        ContourSet printed = Developer.Run(map, null, options, CancellationToken.None).Printed;
        Assert.Equal(1, printed.Count);
        double radius = Math.Sqrt((double)ExactArea.Twice(printed) / 2 / Math.PI) * 0.1;
        Assert.Equal(Range * Math.Sqrt(Math.Log(3)), radius, 0.25);
        (double centreX, double centreY) = Centroid(printed[0]);
        Assert.Equal(x, centreX, 0.1);
        Assert.Equal(y, centreY, 0.1);
    }

    /// <summary>
    /// Spreading moves energy and loses none: the map's sum times its cell is the charge, wherever it falls and through all kinds
    /// of terms (conservation; the tail's last part in 10⁴ lies outside the map).
    /// </summary>
    [Fact]
    public void All_charge_is_somewhere_in_the_energy_map()
    {
        var spread = new SpreadFunction(
            [new(SpreadShape.Gaussian, 40, 1), new(SpreadShape.Gaussian, 500, 0.6), new(SpreadShape.Exponential, 150, 0.3)]);
        var map = new ChargeMap(10);
        var random = new Random(11);
        for (int i = 0; i < 5000; i++)
        {
            map.Deposit(500 * random.NextDouble(), 500 * random.NextDouble(), 1e-15 * random.NextDouble());
        }

        double deposited = map.TilePlaces.Sum(place => map.Tile(place)!.Pixels().Sum(dose => (double)dose)) * 100e-18;
        Assert.Equal(1, deposited / map.TotalCoulombs, 1e-6);
        var options = new SimulationOptions(spread, 0, 0.1) { MapStepNanometres = 20 };
        SampleMap energy = Developer.Run(map, null, options, CancellationToken.None).Map!;
        double total = energy.Values.ToArray().Sum(value => (double)value) * energy.StepNanometres * energy.StepNanometres * 1e-18;
        Assert.Equal(1, total / map.TotalCoulombs, 2e-3);
    }

    /// <summary>Spot and forward scattering add in quadrature: FWHM = 1.66511·a.</summary>
    [Fact]
    public void The_spot_widens_the_beam()
    {
        var map = new ChargeMap(5);
        map.Deposit(2.5, 2.5, 1e-15);
        double range = Math.Sqrt(30 * 30 + Math.Pow(40 / 1.6651092223153956, 2));
        double expected = 1e-15 / (Math.PI * range * range * 1e-18);
        Assert.Equal(expected, Energy(map, new SpreadFunction([new(SpreadShape.Gaussian, 30, 1)]), 2.5, 2.5, 40), expected * 0.01);
    }

    /// <summary>
    /// A ramp through a single pole lags by v·τ (10 nm per µs with τ of 10 µs lag by 100 nm), and a staircase of step d and dwell T
    /// keeps d·q/(1−q) at the end of each dwell, q = exp(−T/τ).
    /// </summary>
    [Fact]
    public void A_fast_line_lags()
    {
        var map = new ChargeMap(5);
        var header = new RecordsHeader("m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e8, 1, 1_000_000, 10, 10, false);
        Machine machine = Machine(header, new SettleModel(0, 10e-6, 0), new Blanker(true, true, 0, 0, 0));
        var replay = new ExposureReplay(machine, map);
        replay.Begin(header);

        // 10 nm in a µs: a point each µs of 100 ticks.
        replay.Write([DeflectionRecord.Jump(32768, 32768, 10_000_000), DeflectionRecord.Line(32768, 32768, 33767, 32768, 1000, 100_000)]);
        replay.End();
        (double charge, double meanX) = Centroid(map);
        Assert.Equal(1e-12 * 1e-3, charge, 1e-20);

        // Point by point in closed form: during a dwell the distance to the goal decays to q of it, its mean is (1−q)·τ/T of it.
        double q = Math.Exp(-0.1);
        double expected = 0;
        double position = 0;
        for (int i = 0; i < 1000; i++)
        {
            double away = position - 10 * i;
            expected += (10 * i + away * (1 - q) / 0.1) / 1000;
            position = 10 * i + away * q;
        }

        Assert.Equal(expected, meanX, 0.05);
        Assert.Equal(9990 - 10 * q / (1 - q), position, 1e-6);
    }

    internal static Machine Machine(RecordsHeader header, SettleModel settle, Blanker blanker) => new(
        "m", header.Dac, new Deflection(655_360, 655_360, false, false, false, AffineCalibration.Identity), settle,
        new Clock(header.ClockHertz, 1, 1_000_000), blanker, new Beam(1e-12, 20, 30_000), new Link(1e6, 4096, true));

    private static (double X, double Y) Centroid(ReadOnlySpan<GridPoint> ring)
    {
        double area = 0;
        double x = 0;
        double y = 0;
        GridPoint last = ring[^1];
        foreach (GridPoint point in ring)
        {
            double cross = (double)last.X * point.Y - (double)point.X * last.Y;
            area += cross / 2;
            x += (last.X + point.X) * cross / 6;
            y += (last.Y + point.Y) * cross / 6;
            last = point;
        }

        return (x / area * 0.1, y / area * 0.1);
    }

    private static (double Charge, double MeanX) Centroid(ChargeMap map)
    {
        double sum = 0;
        double moment = 0;
        double pixel = map.PixelNanometres;
        foreach ((int column, int row) in map.TilePlaces)
        {
            float[] tile = map.Tile((column, row))!.Pixels();
            for (int i = 0; i < tile.Length; i++)
            {
                double charge = tile[i] * pixel * pixel * 1e-18;
                sum += charge;
                moment += charge * ((column * ChargeMap.TileSide + i % ChargeMap.TileSide + 0.5) * pixel);
            }
        }

        return (sum, moment / sum);
    }

    private static ChargeMap Uniform(double pixel, double left, double bottom, double right, double top)
    {
        var map = new ChargeMap(pixel);
        double step = pixel / 2;
        for (double y = bottom + step / 2; y < top; y += step)
        {
            for (double x = left + step / 2; x < right; x += step)
            {
                map.Deposit(x, y, Dose * step * step * 1e-18);
            }
        }

        return map;
    }

    private static double Energy(ChargeMap map, SpreadFunction spread, double x, double y, double spot = 0)
    {
        var field = new EnergyField(map, spread, spot);
        double size = ChargeMap.TileSide * map.PixelNanometres;
        return field.Compute(((int)Math.Floor(x / size), (int)Math.Floor(y / size)), 4).At(x, y, map.PixelNanometres);
    }
}
