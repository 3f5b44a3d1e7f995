using System.Diagnostics;
using PatternCompiler.Geometry;

namespace PatternCompiler.Benchmarks.Geometry;

/// <summary>Times the geometry on the workloads, ours and other libraries', in one run on one machine.</summary>
internal static class SideBySide
{
    public static void Run(string[] names, int repeats)
    {
        Console.WriteLine("workload   edges      union s  rings      cut s    pieces     from merged s  2 threads: union s  cut s");
        foreach (string name in names)
        {
            ContourSet rings = Workloads.Create(name);
            FillRule rule = Workloads.Rule(name);
            ContourSet merged = RegionBoolean.Merge(rings, rule, 1);
            Trapezoid[] pieces = TrapezoidDecomposition.Compute(rings, rule, 1);
            double union = Best(repeats, () => RegionBoolean.Merge(rings, rule, 1));
            double cut = Best(repeats, () => TrapezoidDecomposition.Compute(rings, rule, 1));
            double again = Best(repeats, () => TrapezoidDecomposition.Compute(merged, threads: 1));
            double union2 = Best(repeats, () => RegionBoolean.Merge(rings, rule, 2));
            double cut2 = Best(repeats, () => TrapezoidDecomposition.Compute(rings, rule, 2));
            Console.WriteLine(
                $"{name,-8} {rings.PointCount,9} {union,10:0.0000} {merged.Count,8} {cut,10:0.0000} {pieces.Length,9} {again,12:0.0000} {union2,16:0.0000} {cut2,12:0.0000}");
        }
    }

    private static double Best(int repeats, Func<object> work)
    {
        var seconds = new double[repeats];
        for (int i = 0; i < repeats; i++)
        {
            GC.Collect();
            long start = Stopwatch.GetTimestamp();
            GC.KeepAlive(work());
            seconds[i] = Stopwatch.GetElapsedTime(start).TotalSeconds;
        }

        Array.Sort(seconds);
        return seconds[0];
    }
}
