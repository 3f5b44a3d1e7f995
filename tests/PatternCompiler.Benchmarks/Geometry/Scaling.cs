using System.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Benchmarks.Geometry;

/// <summary>How time and memory grow with the size of a drawing, and what parts that recur save.</summary>
internal static class Scaling
{
    public static readonly string[] Names = ["w2", "w2x10", "cell", "cellx10000"];

    public static void Run(string[] names, int threads)
    {
        Console.WriteLine("workload   edges     crossings   polygons/s  trapezoids/s  union s  ns/(n log n)  bytes/edge    cut s  ns/(n log n)  bytes/edge");
        foreach (string name in names)
        {
            ContourSet rings = Workloads.Create(name);
            FillRule rule = Workloads.Rule(name);
            int edges = rings.PointCount;
            RegionBoolean.Merge(Workloads.Create("w5s"), FillRule.EvenOdd, threads);
            var (unionSeconds, unionBytes, merged) = Measure(() => RegionBoolean.Merge(rings, rule, threads));
            long outlineBytes = merged.PointCount * 8L;
            merged = ContourSet.Empty;
            var (cutSeconds, cutBytes, pieces) = Measure(() => TrapezoidDecomposition.Compute(rings, rule, threads));
            long pieceBytes = pieces.Length * 40L;
            int count = pieces.Length;
            pieces = [];
            string crossings = edges <= 10_000_000 ? $"{Crossings(rings)}" : "-";
            double perStep = 1e9 / (edges * Math.Log2(edges));
            Console.WriteLine(
                $"{name,-10} {edges,9} {crossings,9} {rings.Count / unionSeconds,12:0} {count / cutSeconds,13:0} " +
                $"{unionSeconds,8:0.000} {unionSeconds * perStep,13:0.0} {(double)(unionBytes - outlineBytes) / edges,11:0} " +
                $"{cutSeconds,8:0.000} {cutSeconds * perStep,13:0.0} {(double)(cutBytes - pieceBytes) / edges,11:0}");
        }
    }

    /// <summary>Vertices that are no points of the input.</summary>
    private static long Crossings(ContourSet rings)
    {
        var points = new HashSet<GridPoint>(rings.Points.Length);
        foreach (GridPoint point in rings.Points)
        {
            points.Add(point);
        }

        return Arrangement.Build(rings, null, 1, default).VertexCount - points.Count;
    }

    private static (double Seconds, long Bytes, T Result) Measure<T>(Func<T> work)
    {
        T result = default!;
        double seconds = 0;
        long bytes = PeakMemory.During(() =>
        {
            long start = Stopwatch.GetTimestamp();
            result = work();
            seconds = Stopwatch.GetElapsedTime(start).TotalSeconds;
        });
        return (seconds, bytes, result);
    }
}
