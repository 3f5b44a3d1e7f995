using BenchmarkDotNet.Running;
using PatternCompiler.Benchmarks.Geometry;

// "geometry [workload …]" compares polygon libraries side by side; anything else goes to BenchmarkDotNet.
if (args is ["geometry", .. var names])
{
    SideBySide.Run(names.Length > 0 ? names : Workloads.Names, repeats: 3);
    return;
}

BenchmarkSwitcher.FromAssembly(typeof(Program).Assembly).Run(args);
