using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Prediction;
using PatternCompiler.Reports;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Reports;

public sealed class FinestPlaceTests
{
    // A grid step is 0.1 nm.
    private static FlatLayout Layout(IEnumerable<(int Left, int Bottom, int Right, int Top)> rectangles, params ImmutableArray<GridPoint> dots)
    {
        var rings = new ContourSetBuilder();
        foreach ((int left, int bottom, int right, int top) in rectangles)
        {
            rings.AddRing([new GridPoint(left, bottom), new GridPoint(right, bottom), new GridPoint(right, top), new GridPoint(left, top)]);
        }

        return new FlatLayout(100, ["a"], [new FlatLayer(0, DoseFactor.One, rings.ToContourSet(), [], dots)]);
    }

    private static IEnumerable<(int, int, int, int)> Grating(int left, int bottom, int lines) =>
        Enumerable.Range(0, lines).Select(i => (left + 2000 * i, bottom, left + 2000 * i + 1000, bottom + 40_000));

    [Fact]
    public void The_window_lies_on_the_fine_grating_and_not_on_the_large_pads()
    {
        // Pads of 20 µm, and a grating of 200 nm pitch, 4 µm wide, around (32, -38) µm.
        FlatLayout layout = Layout([(-400_000, -400_000, -200_000, -200_000), (0, 0, 200_000, 200_000), .. Grating(300_000, -400_000, 20)]);
        SampleWindow window = FinestPlace.Choose(layout, 4000, 3200);
        Assert.Equal((4000.0, 3200.0), (window.Right - window.Left, window.Top - window.Bottom));
        Assert.InRange((window.Left + window.Right) / 2, 30_000, 34_000);
        Assert.InRange((window.Bottom + window.Top) / 2, -40_000, -36_000);
    }

    [Fact]
    public void A_small_pattern_is_shown_whole_about_its_middle() =>
        Assert.Equal(new SampleWindow(-1000, -800, 3000, 2400), FinestPlace.Choose(Layout([(0, 0, 20_000, 16_000)]), 4000, 3200));

    [Fact]
    public void Dots_count_as_the_edge_of_their_discs()
    {
        ImmutableArray<GridPoint> dots = [.. Enumerable.Range(0, 900).Select(i => new GridPoint(500_000 + 1000 * (i % 30), 1000 * (i / 30)))];
        SampleWindow window = FinestPlace.Choose(Layout([(0, 0, 10_000, 10_000)], dots), 4000, 3200);
        Assert.InRange((window.Left + window.Right) / 2, 50_000, 53_000);
    }

    [Fact]
    public void A_window_of_next_to_nothing_does_not_fill_the_memory()
    {
        // 50 bars of 100 µm; cells of half a window would be 200 million along each side.
        FlatLayout layout = Layout(Enumerable.Range(0, 50).Select(i => (20_000 * i, 0, 20_000 * i + 10_000, 1_000_000)));
        long before = GC.GetAllocatedBytesForCurrentThread();
        SampleWindow window = FinestPlace.Choose(layout, 1e-3, 1e-3);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 400L << 20);
        Assert.Equal(1e-3, window.Right - window.Left, 1e-9);
        Assert.InRange(window.Left, -200, 100_200);
    }

    [Fact]
    public void Nothing_drawn_gives_a_window_all_the_same() =>
        Assert.Equal(new SampleWindow(-2000, -1600, 2000, 1600), FinestPlace.Choose(Layout([]), 4000, 3200));
}
