using BenchmarkDotNet.Running;
using PatternCompiler.Benchmarks.Geometry;

// "geometry [workload …]" compares polygon libraries side by side; anything else goes to BenchmarkDotNet.
if (args is ["geometry", .. var names])
{
    SideBySide.Run(names.Length > 0 ? names : Workloads.Names, repeats: 5);
    SideBySide.RunOffsets(names.Length > 0 ? names : ["w2", "w3", "w4"], repeats: 5);
    return;
}

if (args is ["phases", .. var phases])
{
    Phases.Run(phases);
    return;
}

BenchmarkSwitcher.FromAssembly(typeof(Program).Assembly).Run(args);
