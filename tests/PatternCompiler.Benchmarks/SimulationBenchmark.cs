using BenchmarkDotNet.Attributes;
using BenchmarkDotNet.Engines;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Benchmarks;

/// <summary>
/// How long does a prediction take, and how much memory? Upright lines at half density over a whole field of 100 µm, in pixels of
/// 5 nm, from records as a stream holds them: replay, spread, development, edges.
/// </summary>
[MemoryDiagnoser]
[SimpleJob(RunStrategy.Monitoring, launchCount: 1, warmupCount: 0, iterationCount: 3)]
public class SimulationBenchmark
{
    private const int FieldNanometres = 98_000;
    private const int LineNanometres = 500;
    private const int PointNanometres = 12;
    private const int DwellTicks = 20;
    private readonly Machine machine = DefaultFiles.Machine;
    private RecordsHeader? header;
    private DeflectionRecord[] records = [];
    private ContourSet drawn = ContourSet.Empty;

    [GlobalSetup]
    public void Setup()
    {
        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        header = new RecordsHeader(
            machine.Name, machine.Dac, machine.Clock.Hertz, machine.Clock.MinimumDwellTicks, machine.Clock.MaximumDwellTicks,
            mapping.NanometresPerCodeX, mapping.NanometresPerCodeY, machine.Deflection.SwapAxes);
        int points = FieldNanometres / PointNanometres;
        var built = new List<DeflectionRecord>();
        var rings = new ContourSetBuilder();
        for (int left = -FieldNanometres / 2; left + LineNanometres <= FieldNanometres / 2; left += 2 * LineNanometres)
        {
            for (int x = left + PointNanometres / 2; x < left + LineNanometres; x += PointNanometres)
            {
                (int X, int Y) low = Code(mapping, x, -FieldNanometres / 2);
                (int X, int Y) high = Code(mapping, x, FieldNanometres / 2);
                built.Add(DeflectionRecord.Jump(low.X, low.Y, 200));
                built.Add(DeflectionRecord.Line(low.X, low.Y, high.X, high.Y, points, (long)points * DwellTicks));
            }

            foreach ((int cornerX, int cornerY) in ((int, int)[])[(0, -1), (1, -1), (1, 1), (0, 1)])
            {
                rings.Add(new GridPoint(10 * (left + cornerX * LineNanometres), 10 * cornerY * FieldNanometres / 2));
            }

            rings.EndRing();
        }

        records = [.. built];
        drawn = rings.ToContourSet();
    }

    [Benchmark]
    public long Simulate()
    {
        var charge = new ChargeMap(5);
        var replay = new ExposureReplay(machine, charge);
        replay.Begin(header!);
        replay.Write(records);
        replay.End();
        double mean = charge.TotalCoulombs / (FieldNanometres * (double)FieldNanometres * 1e-18 / 2);
        var options = new SimulationOptions(SpreadFunction.TwoGaussian(30, 4000, 0.74), 20, mean / 2);
        return Developer.Run(charge, DrawnPattern.OfAreas(drawn), options, CancellationToken.None).Edges!.Samples;
    }

    private static (int X, int Y) Code(DacMapping mapping, int xNanometres, int yNanometres)
    {
        (double x, double y) = mapping.CodesAt(xNanometres * 1_000_000L, yNanometres * 1_000_000L);
        return ((int)Math.Floor(x + 0.5), (int)Math.Floor(y + 0.5));
    }
}
