using BenchmarkDotNet.Attributes;
using BenchmarkDotNet.Engines;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Units;

namespace PatternCompiler.Benchmarks.Passes;

/// <summary>A grey raster from figures to records: points per second are 16.8 million over the time.</summary>
[MemoryDiagnoser]
[SimpleJob(RunStrategy.Monitoring, launchCount: 1, warmupCount: 1, iterationCount: 3)]
public class RasterBenchmark
{
    private const double FieldNanometres = 65_536;
    private const int SideSteps = 655_040;

    private readonly FiguresDocument figures = new(
        new FiguresHeader(100, ["plate"]),
        [Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(-SideSteps / 2, -SideSteps / 2, SideSteps / 2, SideSteps / 2))]);

    [Benchmark]
    public void FillAndScale()
    {
        var dac = new Dac(12, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode);
        var deflection = new Deflection(FieldNanometres, FieldNanometres, false, false, false, AffineCalibration.Identity, null, null);
        var raster = new LayerFill(FillStrategy.Of("raster"), FillDirection.X, Spacing.FromCodes(1), Spacing.FromCodes(1), DoseFactor.One);
        var scale = new ScaleOptions("raster", dac, deflection, new Clock(1e8, 1, 65535), new Beam(1e-10, 20, 30_000), new SettleModel(0, 0, 0), false);
        FillPass.Run(
            figures,
            new FillOptions(2.8, 1.4e-7, 1.5e-14, raster) { Lattice = new DacMapping(dac, deflection).ToLattice() },
            new ScalePass(scale, new Expansion()),
            new DiagnosticSink(),
            CancellationToken.None);
    }

    /// <summary>Looks at every single point, as a controller would.</summary>
    private sealed class Expansion : IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        private readonly LinePoint[] points = new LinePoint[4096];

        public long Ticks { get; private set; }

        public void Begin(RecordsHeader header)
        {
        }

        public void Write(ReadOnlySpan<DeflectionRecord> items)
        {
            foreach (ref readonly DeflectionRecord record in items)
            {
                for (int first = 0; record.Kind == RecordKind.Line && first < record.Points;)
                {
                    int count = LinePoints.Expand(record, first, points);
                    Ticks += points[count - 1].Ticks;
                    first += count;
                }
            }
        }

        public void End()
        {
        }
    }
}
