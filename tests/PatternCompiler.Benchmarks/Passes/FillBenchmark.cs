using BenchmarkDotNet.Attributes;
using BenchmarkDotNet.Engines;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Order;
using PatternCompiler.Units;

namespace PatternCompiler.Benchmarks.Passes;

/// <summary>
/// How long does filling 100,000 figures take, in the order given and with short travel? Trapezoids of 60 to 200 nm
/// scattered over 97 µm, codes of 1.53 nm, lines and points on every sixth code.
/// </summary>
[MemoryDiagnoser]
[SimpleJob(RunStrategy.Monitoring, launchCount: 1, warmupCount: 1, iterationCount: 3)]
public class FillBenchmark
{
    private const int Side = 317;
    private const int CellSteps = 3050;
    private const double CodeFemtometres = 1_525_878.90625;

    private FiguresDocument figures = new(new FiguresHeader(100, []), []);

    [Params(100_000)]
    public int Figures { get; set; }

    [Params(WritingOrder.AsGiven, WritingOrder.ShortTravel)]
    public WritingOrder Order { get; set; }

    [Params(CodePlacement.Rounded, CodePlacement.Weighted)]
    public CodePlacement Placement { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        var random = new Random(7);
        int[] cells = [.. Enumerable.Range(0, Side * Side)];
        random.Shuffle(cells);
        figures = new FiguresDocument(new FiguresHeader(100, ["bars"]), [.. cells.Take(Figures).Select(cell => Trapezoid(cell, random))]);
    }

    [Benchmark]
    public void Fill()
    {
        var everywhere = new LayerFill(FillStrategy.Of("lines"), FillDirection.LongSide, Spacing.FromCodes(6), Spacing.FromCodes(6), DoseFactor.One)
        {
            Placement = Placement,
        };
        var options = new FillOptions(2.8, 1.4e-7, 1.5e-14, everywhere)
        {
            Lattice = new CodeLattice(new CodeAxis(0, CodeFemtometres), new CodeAxis(0, CodeFemtometres)),
            Order = new OrderOptions(Order),
            SmallestPointChargeCoulombs = 1e-16,
        };
        FillPass.Run(figures, options, new Nowhere(), new DiagnosticSink(), CancellationToken.None);
    }

    private static Figure Trapezoid(int cell, Random random)
    {
        int x = (cell % Side - Side / 2) * CellSteps + random.Next(800);
        int y = (cell / Side - Side / 2) * CellSteps + random.Next(800);
        int width = random.Next(600, 2000);
        int height = random.Next(600, 2000);
        int lean = random.Next(-200, 200);
        var left = new GridEdge(new(x, y), new(x + lean, y + height));
        var right = new GridEdge(new(x + width, y), new(x + width - lean, y + height));
        return Figure.FromTrapezoid(0, DoseFactor.One, new Trapezoid(y, y + height, left, right));
    }

    private sealed class Nowhere : IDocumentSink<StrokesHeader, Stroke>
    {
        public void Begin(StrokesHeader header)
        {
        }

        public void Write(ReadOnlySpan<Stroke> items)
        {
        }

        public void End()
        {
        }
    }
}
