using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Limits;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Prediction.Simulation;

public sealed class HeightReportTests
{
    // An even dose of 2 between an onset of 1 and a clearing dose of 4: half of the film remains.
    [Fact]
    public void What_remains_is_held_against_what_is_wanted_away_from_borders()
    {
        var map = new ChargeMap(10);
        for (int x = 5; x < 3000; x += 10)
        {
            for (int y = 5; y < 2000; y += 10)
            {
                map.Deposit(x, y, 2 * 1e-16);
            }
        }

        SimulationOptions options = new(new SpreadFunction([new(SpreadShape.Gaussian, 30, 1)]), 0, 4)
        {
            Response = new ResistResponse(ResistTone.Positive, 1, 4),
            Heights = [Area(0.5, 0, 1500), Area(0.6, 1500, 2900), Area(0.4, 2900, 2960)],
        };
        HeightReport[] heights = [.. Developer.Run(map, null, options, CancellationToken.None).Heights];
        Assert.Equal([0.5, 0.6, 0.4], heights.Select(height => height.Wanted));
        Assert.Equal([false, false, true], heights.Select(height => height.IsNarrow));
        Assert.Equal(0.5, heights[0].Mean, 1e-3);
        Assert.Equal(0, heights[0].WorstError, 5e-3);
        Assert.Equal((0.5, -0.1, 0.1), (heights[1].Mean, heights[1].WorstError, heights[1].RootMeanSquareError), new Near(5e-3));
        Assert.InRange(heights[0].Places, 60 * 80, 70 * 100);
        Assert.InRange(heights[1].WorstXNanometres, 1500, 2900);
    }

    [Fact]
    public void Areas_keep_apart_and_what_is_exposed_more_holds()
    {
        var layout = new FlatLayout(100, ["relief"],
        [
            Group(0.2, 0, 30_000, new WantedHeight(0.8, false)), Group(0.4, 10_000, 20_000, new WantedHeight(0.3, false)), Group(1, 15_000, 40_000, new WantedHeight(0, true)),
        ]);
        HeightArea[] areas = [.. HeightArea.Of(layout, WorkLimits.Usual, CancellationToken.None)];
        Assert.Equal([(0.3, 5000.0), (0.8, 10_000.0)], areas.Select(area => (area.Remaining, (double)ExactArea.Twice(area.Area) / 2 / 10_000)));

        // What is to print is drawn, and nothing else.
        Assert.Equal(25_000.0 * 10_000 * 2, (double)ExactArea.Twice(DrawnPattern.Of(layout, null, WorkLimits.Usual, CancellationToken.None).Areas));
    }

    private static FlatLayer Group(double dose, int left, int right, WantedHeight height) =>
        new(0, DoseFactor.FromValue(dose), Ring(left, right, 10_000), [], []) { Height = height };

    private static HeightArea Area(double remaining, int left, int right) => new(remaining, Ring(10 * left, 10 * right, 20_000));

    private static ContourSet Ring(int left, int right, int top) =>
        ContourSet.FromRing(new GridPoint(left, 0), new GridPoint(right, 0), new GridPoint(right, top), new GridPoint(left, top));

    private sealed class Near(double by) : IEqualityComparer<(double, double, double)>
    {
        public bool Equals((double, double, double) a, (double, double, double) b) =>
            Math.Abs(a.Item1 - b.Item1) <= by && Math.Abs(a.Item2 - b.Item2) <= by && Math.Abs(a.Item3 - b.Item3) <= by;

        public int GetHashCode((double, double, double) value) => 0;
    }
}
