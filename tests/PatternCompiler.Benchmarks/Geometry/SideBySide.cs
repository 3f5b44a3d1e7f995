using System.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Geometry.Regions;

namespace PatternCompiler.Benchmarks.Geometry;

/// <summary>Times the geometry on the workloads, ours and other libraries', in one run on one machine.</summary>
internal static class SideBySide
{
    public static void Run(string[] names, int repeats)
    {
        Console.WriteLine("workload   edges      union s  rings      cut s    pieces     from merged s  2 threads: union s  times   cut s  times");
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
                $"{name,-8} {rings.PointCount,9} {union,10:0.0000} {merged.Count,8} {cut,10:0.0000} {pieces.Length,9} {again,12:0.0000} {union2,16:0.0000} {union / union2,6:0.00} {cut2,9:0.0000} {cut / cut2,5:0.00}");
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

            // Takes minutes on many disjoint shapes, has no even-odd rule for rings that cross themselves, and refuses coasts
            // that touch themselves.
            if (name is not ("w4" or "coast") && Workloads.Rule(name) != FillRule.EvenOdd)
            {
                Console.WriteLine($"{name} NetTopologySuite: union {Best(1, NetTopologySuitePeer.Union(rings)):0.0000}");
                if (name is "w2" or "w3")
                {
                    object merged = NetTopologySuitePeer.Union(rings)();
                    Console.WriteLine(
                        $"{name} NetTopologySuite: grow {Best(1, NetTopologySuitePeer.Offset(merged, 20)):0.0000}, shrink {Best(1, NetTopologySuitePeer.Offset(merged, -20)):0.0000}");
                }
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
            Console.WriteLine($"{name,-8} {merged.PointCount,9} {grow,10:0.0000} {grown.PointCount,9} {shrink,10:0.0000} {shrunk.PointCount,9}{ZonePlateError(name, merged, grown, 20)}{ZonePlateError(name, merged, shrunk, -20)}");
        }
    }

    /// <summary>
    /// Deviation of a moved zone plate from the area between its ideal circles; what of it the drawing had before, whose
    /// points are rounded to the grid; and what the offset itself adds, against the closed form for the drawn polygons.
    /// </summary>
    private static string ZonePlateError(string name, ContourSet drawn, ContourSet moved, double distance)
    {
        if (name != "w3")
        {
            return "";
        }

        double ideal = 0, parallel = 0, drawnTooMuch = (double)ExactArea.Twice(drawn) / 2;
        double first = 50_000 / Math.Sqrt(401);
        for (int zone = 1; zone <= 200; zone++)
        {
            double outer = first * Math.Sqrt((2 * zone) + 1), inner = first * Math.Sqrt(2 * zone);
            ideal += Math.PI * (Math.Pow(outer + distance, 2) - Math.Pow(inner - distance, 2));
            drawnTooMuch -= Math.PI * ((outer * outer) - (inner * inner));
        }

        for (int r = 0; r < drawn.Count; r++)
        {
            parallel += ParallelArea(drawn[r], distance);
        }

        double area = (double)ExactArea.Twice(moved) / 2;
        return FormattableString.Invariant(
            $"  {(area / ideal - 1) * 1e6:0.0} ppm from ideal circles, {drawnTooMuch / ideal * 1e6:0.0} ppm in the drawing, {(area / parallel - 1) * 1e6:0.0} ppm from its exact offset");
    }

    /// <summary>Steiner's formula with mitres, for a ring that keeps all its edges; negative for a hole.</summary>
    private static double ParallelArea(ReadOnlySpan<GridPoint> ring, double distance)
    {
        double area = 0;
        for (int i = 0; i < ring.Length; i++)
        {
            GridPoint a = ring[i], b = ring[(i + 1) % ring.Length], c = ring[(i + 2) % ring.Length];
            double ux = b.X - a.X, uy = b.Y - a.Y, vx = c.X - b.X, vy = c.Y - b.Y;
            double turn = Math.Atan2((ux * vy) - (uy * vx), (ux * vx) + (uy * vy));
            area += ((((double)a.X * b.Y) - ((double)a.Y * b.X)) / 2) + (Math.Sqrt((ux * ux) + (uy * uy)) * distance) + (Math.Tan(turn / 2) * distance * distance);
        }

        return area;
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
