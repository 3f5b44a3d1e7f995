using System.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Offset;

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

    /// <summary>The other libraries on the same workloads, each given a minute per program.</summary>
    public static void RunPeers(string[] names, int repeats, string sourceFolder)
    {
        using var peers = new PeerPrograms(sourceFolder);
        foreach (string name in names)
        {
            ContourSet rings = Workloads.Create(name);
            bool isRectilinear = name is "w1" or "w4";
            foreach (string program in peers.Names)
            {
                Print(name, program, peers.Measure(program, name, repeats, TimeSpan.FromMinutes(1), manhattan: false));
                if (isRectilinear && program == "boost_polygon")
                {
                    Print(name, program + " 90", peers.Measure(program, name, repeats, TimeSpan.FromMinutes(1), manhattan: true));
                }
            }

            // Takes minutes on many disjoint shapes, and has no even-odd rule for rings that cross themselves.
            if (name != "w4" && Workloads.Rule(name) != FillRule.EvenOdd)
            {
                Console.WriteLine($"{name} NetTopologySuite: union {Best(1, NetTopologySuitePeer.Union(rings)):0.0000}");
            }
        }

        static void Print(string name, string program, Dictionary<string, double> times) =>
            Console.WriteLine($"{name} {program}: {(times.Count == 0 ? "no result within a minute" : string.Join(", ", times.Select(t => $"{t.Key} {t.Value:0.0000}")))}");
    }

    /// <summary>Offset by 20 nm outward and inward of the merged workloads, mitred.</summary>
    public static void RunOffsets(string[] names, int repeats)
    {
        Console.WriteLine("workload   points     +20 nm s   points    -20 nm s   points");
        foreach (string name in names)
        {
            ContourSet merged = RegionBoolean.Merge(Workloads.Create(name), Workloads.Rule(name));
            var shape = new OffsetShape(OffsetJoin.Mitre);
            ContourSet grown = RegionOffset.Compute(merged, 20, shape, 1);
            ContourSet shrunk = RegionOffset.Compute(merged, -20, shape, 1);
            double grow = Best(repeats, () => RegionOffset.Compute(merged, 20, shape, 1));
            double shrink = Best(repeats, () => RegionOffset.Compute(merged, -20, shape, 1));
            Console.WriteLine($"{name,-8} {merged.PointCount,9} {grow,10:0.0000} {grown.PointCount,9} {shrink,10:0.0000} {shrunk.PointCount,9}{ZonePlateError(name, grown, 20)}{ZonePlateError(name, shrunk, -20)}");
        }
    }

    /// <summary>Deviation of a moved zone plate from the area between its ideal circles.</summary>
    private static string ZonePlateError(string name, ContourSet moved, double distance)
    {
        if (name != "w3")
        {
            return "";
        }

        double exact = 0;
        for (int zone = 1; zone <= 200; zone++)
        {
            double first = 50_000 / Math.Sqrt(401);
            exact += Math.PI * (Math.Pow((first * Math.Sqrt((2 * zone) + 1)) + distance, 2) - Math.Pow((first * Math.Sqrt(2 * zone)) - distance, 2));
        }

        return $"  {((double)ExactArea.Twice(moved) / 2 / exact - 1) * 1e6:0.0} ppm";
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
