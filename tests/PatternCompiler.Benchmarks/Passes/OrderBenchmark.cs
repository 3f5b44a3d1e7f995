using BenchmarkDotNet.Attributes;
using BenchmarkDotNet.Engines;
using PatternCompiler.Passes.Order;

namespace PatternCompiler.Benchmarks.Passes;

/// <summary>How long does ordering random dots, and random bars that may be written from either end, take?</summary>
[MemoryDiagnoser]
[SimpleJob(RunStrategy.Monitoring, launchCount: 1, warmupCount: 1, iterationCount: 3)]
public class OrderBenchmark
{
    private TravelItem[] items = [];

    [Params(1_000, 10_000, 100_000)]
    public int Items { get; set; }

    [Params(0, 0.002)]
    public double LengthOfBars { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        var random = new Random(1);
        items = new TravelItem[Items];
        for (int i = 0; i < items.Length; i++)
        {
            (double x, double y) = (random.NextDouble(), random.NextDouble());
            items[i] = new TravelItem(x, y, x + LengthOfBars, y);
        }
    }

    [Benchmark]
    public double Order() => TravelOrder.Find(items, new TravelOptions(AllowsReversal: true), CancellationToken.None).LengthAfter;
}
