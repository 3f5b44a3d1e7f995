using System.Text;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Tests.Prediction.Simulation;

public class DeveloperTests
{
    private static readonly SpreadFunction Narrow = new([new(SpreadShape.Gaussian, 30, 1)]);

    [Fact]
    public void Outlines_close_across_tiles_and_wind_around_what_is_exposed() =>
        Gen.Select(Gen.Int[-2000, 2000].Array[40], Gen.Int[-2000, 2000].Array[40]).Sample((xs, ys) =>
        {
            var map = new ChargeMap(8);
            for (int i = 0; i < xs.Length; i++)
            {
                for (int t = 0; t < 20; t++)
                {
                    map.Deposit(xs[i] + 9.0 * t, ys[i], 1e-15);
                }
            }

            var options = new SimulationOptions(Narrow, 0, 0.2) { MapStepNanometres = 8 };
            SimulationResult result = Developer.Run(map, null, options, CancellationToken.None);
            SampleMap energy = result.Map!;
                        int inside = 0;
            for (int row = 3; row < energy.Rows; row += 7)
            {
                for (int column = 3; column < energy.Columns; column += 7)
                {
                    float value = energy.Values.Span[row * energy.Columns + column];
                    if (Math.Abs(value - 0.2) < 0.01)
                    {
                        continue;
                    }

                    var place = new GridPoint(
                        (int)((energy.Left + (column + 0.5) * 8) * 10), (int)((energy.Bottom + (row + 0.5) * 8) * 10));
                    Assert.Equal(value > 0.2, RingLocator.Innermost(result.Printed, [place])[0] is >= 0 and var ring && ExactArea.Twice(result.Printed[ring]) > 0);
                    inside += value > 0.2 ? 1 : 0;
                }
            }

            Assert.True(inside > 0);
        }, iter: Iterations.Usually(5));

    [Theory]
    [InlineData(SpreadShape.Gaussian, 30, 20)]
    [InlineData(SpreadShape.Exponential, 30, 0)]
    public void Charge_that_lies_far_apart_is_refused_before_memory_is_asked_for(SpreadShape shape, double range, double mapStep)
    {
        var map = new ChargeMap(5);
        map.Deposit(-40e6, -40e6, 1e-15);
        map.Deposit(40e6, 40e6, 1e-15);
        var options = new SimulationOptions(new SpreadFunction([new(shape, range, 1)]), 0, 0.2) { MapStepNanometres = mapStep };
        CompileException refused = Assert.Throws<CompileException>(() => Developer.Run(map, null, options, CancellationToken.None));
        Assert.Equal("PC3020", refused.Diagnostic.Code.Id);
    }

    // What cannot reach the window takes no cells, and changes nothing.
    [Theory]
    [InlineData(SpreadShape.Gaussian)]
    [InlineData(SpreadShape.Exponential)]
    public void Charge_out_of_reach_of_a_window_takes_no_memory(SpreadShape shape)
    {
        var options = new SimulationOptions(new SpreadFunction([new(SpreadShape.Gaussian, 30, 1), new(shape, 15_000, 1)]), 0, 0.2) { MapStepNanometres = 20 };
        SampleMap alone = Map(isFar: false);
        SampleMap beside = Map(isFar: true);
        Assert.Equal(alone.Values.ToArray(), beside.Values.ToArray());
        Assert.Equal((alone.Left, alone.Bottom, alone.Columns), (beside.Left, beside.Bottom, beside.Columns));

        SampleMap Map(bool isFar)
        {
            var map = new ChargeMap(5, new SampleWindow(-500, -500, 500, 500));
            map.Deposit(-90_000, 20_000, 1e-9);
            map.Deposit(100, 50, 1e-15);
            if (isFar)
            {
                map.Deposit(40e6, 40e6, 1e-9);
            }

            return Developer.Run(map, null, options, CancellationToken.None).Map!;
        }
    }

    // A point alone is as much to look at as an area of a hundred thousand of them.
    [Fact]
    public void Work_for_points_far_apart_grows_with_what_is_written()
    {
        var sparse = new ChargeMap(5);
        int points = 0;
        CompileException refused = Assert.Throws<CompileException>(() =>
        {
            for (; points < 10_000; points++)
            {
                sparse.Deposit(points * 2560.0 + 640, 640, 1e-15);
            }
        });
        Assert.Equal(2049, points + 1);
        Assert.Equal(
            "error PC3020: the simulation's map of 5 nm pixels has more than 134 million of them after 2049 points; use larger pixels or a smaller window, "
            + "or simulate parts that lie far apart one by one",
            refused.Message);

        var dense = new ChargeMap(5);
        for (int i = 0; i < 2100 * 256; i++)
        {
            dense.Deposit(i * 5, 640, 1e-15);
        }

        Assert.True(dense.Pixels > 512L << 18);
    }

    [Fact]
    public void Bias_moves_outlines_and_edge_errors_alike()
    {
        ChargeMap map = Square(0, 0, 600);
        DrawnPattern drawn = DrawnPattern.OfAreas(ContourSet.FromRing(new(0, 0), new(6000, 0), new(6000, 6000), new(0, 6000)));
        SimulationResult plain = Developer.Run(map, drawn, new SimulationOptions(Narrow, 0, 0.5), CancellationToken.None);
        SimulationResult grown = Developer.Run(map, drawn, new SimulationOptions(Narrow, 0, 0.5) { BiasNanometres = 7 }, CancellationToken.None);
        Assert.Equal(0, plain.Edges!.MeanNanometres, 0.1);
        Assert.Equal(7, grown.Edges!.MeanNanometres, 0.1);
        double plainArea = (double)ExactArea.Twice(plain.Printed) / 200;
        double grownArea = (double)ExactArea.Twice(grown.Printed) / 200;
        Assert.InRange(grownArea - plainArea, 4 * 600 * 6, 4 * 600 * 7.3);
    }

    [Fact]
    public void Islands_are_what_touches_nothing_drawn()
    {
        ChargeMap map = Square(0, 0, 400);
        Fill(map, 2000, 2000, 60);
        DrawnPattern drawn = DrawnPattern.OfAreas(ContourSet.FromRing(new(0, 0), new(4000, 0), new(4000, 4000), new(0, 4000)));
        SimulationResult result = Developer.Run(map, drawn, new SimulationOptions(Narrow, 0, 0.4), CancellationToken.None);
        ShapeFault island = Assert.Single(result.Shapes!.Faults);
        Assert.Equal(ShapeFaultKind.Island, island.Kind);
        Assert.InRange(island.Window.Left, 1980, 2005);

        // Where the beam rests, an island is expected.
        ShapeReport resting = Developer.Run(map, drawn, new SimulationOptions(Narrow, 0, 0.4) { RestNanometres = (2030, 2030) }, CancellationToken.None).Shapes!;
        Assert.True(resting.IsSound);
        Assert.Equal(island.Window, resting.Rest);

        // Printed larger than drawn all around is an edge error.
        DrawnPattern small = DrawnPattern.OfAreas(ContourSet.FromRing(new(500, 500), new(3500, 500), new(3500, 3500), new(500, 3500)));
        Assert.Single(Developer.Run(map, small, new SimulationOptions(Narrow, 0, 0.4), CancellationToken.None).Shapes!.Faults);
    }

    [Fact]
    public void Edges_that_do_not_print_are_lost_and_counted()
    {
        ChargeMap map = Square(0, 0, 400);
        DrawnPattern drawn = DrawnPattern.OfAreas(ContourSet.FromRing(new(40_000, 0), new(44_000, 0), new(44_000, 4000), new(40_000, 4000)));
        EdgeErrorReport edges = Developer.Run(map, drawn, new SimulationOptions(Narrow, 0, 0.5), CancellationToken.None).Edges!;
        Assert.True(edges.Samples > 100);
        Assert.Equal(edges.Samples, edges.Lost);
        Assert.True(edges.FirstLost!.Value.Nanometres < 0);
        Assert.Equal(0, edges.WorstNanometres);
    }

    [Fact]
    public void A_window_shows_the_same_edges_as_the_whole()
    {
        var window = new SampleWindow(-200, 100, 300, 500);
        ChargeMap whole = Square(0, 0, 600);
        ChargeMap part = Square(0, 0, 600, window);
        DrawnPattern drawn = DrawnPattern.OfAreas(ContourSet.FromRing(new(0, 0), new(6000, 0), new(6000, 6000), new(0, 6000)));
        var options = new SimulationOptions(Narrow, 0, 0.42) { SearchNanometres = 60 };
        EdgeErrorReport all = Developer.Run(whole, drawn, options, CancellationToken.None).Edges!;
        SimulationResult some = Developer.Run(part, drawn, options, CancellationToken.None);
        Assert.Equal(all.MeanNanometres, some.Edges!.MeanNanometres, 0.05);
        Assert.InRange(some.Edges.Samples, 20, 40);
        Assert.Equal(1, some.Printed.Count);
        Assert.InRange((double)ExactArea.Twice(some.Printed) / 200, 120_700, 122_500);
    }

    [Fact]
    public void Array_files_have_the_header_that_numerical_programs_expect()
    {
        var map = new SampleMap(0, 0, 5, 3, 2, new float[] { 1, 2, 3, 4, 5, 6 });
        using var stream = new MemoryStream();
        map.WriteArray(stream);
        byte[] bytes = stream.ToArray();
        Assert.Equal(0, (bytes.Length - 24) % 64);
        Assert.Equal("NUMPY\u0001\0", Encoding.ASCII.GetString(bytes, 1, 7));
        Assert.Contains("{'descr': '<f4', 'fortran_order': False, 'shape': (2, 3), }", Encoding.ASCII.GetString(bytes, 10, 118), StringComparison.Ordinal);
        Assert.Equal(6f, BitConverter.ToSingle(bytes, bytes.Length - 4));
    }

    private static ChargeMap Square(double left, double bottom, double side, SampleWindow? window = null)
    {
        var map = new ChargeMap(5, window);
        Fill(map, left, bottom, side);
        return map;
    }

    private static void Fill(ChargeMap map, double left, double bottom, double side)
    {
        for (double y = bottom + 2.5; y < bottom + side; y += 5)
        {
            for (double x = left + 2.5; x < left + side; x += 5)
            {
                map.Deposit(x, y, 25e-18);
            }
        }
    }
}
