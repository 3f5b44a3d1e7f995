using System.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Benchmarks.Geometry;

/// <summary>Processor time of the steps of the general sweep, on one thread.</summary>
internal static class Phases
{
    public static void Run(string[] names)
    {
        foreach (string name in names)
        {
            ContourSet rings = Workloads.Create(name);
            CoverRule rule = CoverRule.Single(Workloads.Rule(name));
            for (int i = 0; i < 4; i++)
            {
                Arrangement arrangement = null!;
                long before = GC.GetTotalAllocatedBytes();
                double edges = Time(() => EdgeTable.Build(rings, null));
                double build = Time(() => arrangement = Arrangement.Build(rings, null, 1, default));
                long built = GC.GetTotalAllocatedBytes() - before;
                double outlines = Time(() => RegionSweep.Outlines(arrangement, rule, 1, default));
                double pieces = Time(() => RegionSweep.Decompose(arrangement, rule, 1, default));
                Console.WriteLine(
                    $"{name}: edges {edges:0.000} arrangement {build:0.000} ({arrangement.VertexCount} vertices, {arrangement.LinkStarts[^1]} passes, {built >> 20} MB) outlines {outlines:0.000} pieces {pieces:0.000}");
            }
        }
    }

    private static double Time(Action work)
    {
        GC.Collect();
        TimeSpan before = Process.GetCurrentProcess().TotalProcessorTime;
        work();
        return (Process.GetCurrentProcess().TotalProcessorTime - before).TotalSeconds;
    }
}
