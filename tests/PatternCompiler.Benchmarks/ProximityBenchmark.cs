using BenchmarkDotNet.Attributes;
using BenchmarkDotNet.Engines;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Benchmarks;

/// <summary>How long does a correction of many small figures take? Bars of 50 × 100 nm at half density in blocks of varying density.</summary>
[MemoryDiagnoser]
[SimpleJob(RunStrategy.Monitoring, launchCount: 1, warmupCount: 0, iterationCount: 3)]
public class ProximityBenchmark
{
    private FiguresDocument figures = new(new FiguresHeader(100, []), []);

    [Params(100_000, 1_000_000)]
    public int Figures { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        int side = (int)Math.Sqrt(Figures);
        figures = new FiguresDocument(new FiguresHeader(100, ["bars"]),
        [
            .. from row in Enumerable.Range(0, side)
               from column in Enumerable.Range(0, side)
               let x = 1000 * column + (row / 50 % 3 * 1000 * column / 4)
               select Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(x, 1000 * row, x + 500, 1000 * row + 900)),
        ]);
    }

    [Benchmark]
    public ProximityReport Correct() => ProximityPass.Run(
        figures,
        new ProximityOptions(SpreadFunction.TwoGaussian(30, 4000, 0.74), ProximityTarget.Edge, 0.005, 50, 100, 0, 50, 1000),
        new DiagnosticSink(),
        CancellationToken.None).Report;
}
