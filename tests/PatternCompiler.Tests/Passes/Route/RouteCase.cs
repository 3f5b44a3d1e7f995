using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Order;
using PatternCompiler.Passes.Route;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Tests.Passes.Fill;

namespace PatternCompiler.Tests.Passes.Route;

/// <summary>A machine without a blanker whose jumps print on bare areas: 50 µm field, 0.76 nm a code, 1 nA, 12 nm/µs.</summary>
internal static class RouteCase
{
    public const double Onset = 1;

    public static Machine Machine { get; } = new(
        "no blanker",
        new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode),
        new Deflection(50_000, 50_000, false, false, false, AffineCalibration.Identity),
        new SettleModel(10e-6, 4e-6, 12e6),
        new Clock(1e7, 5, 1_000_000),
        new Blanker(false, true, 0, 0, 1),
        new Beam(1e-9, 20, 30_000),
        new Link(1e6, 4096, true));

    public static SpreadFunction Spread { get; } = SpreadFunction.TwoGaussian(59, 4000, 0.74).WithSpot(20);

    public static ScaleOptions Scale { get; } = new(
        Machine.Name, Machine.Dac, Machine.Deflection, Machine.Clock, Machine.Beam, Machine.Settle, WritesMarkers: false);

    public static RouteOptions Route { get; } = new(Scale, 1e-9, Spread, Onset);

    /// <summary>300 µC/cm² in lines 40 nm apart, short travel.</summary>
    public static FillOptions Straight { get; } = FillCase.Options with
    {
        AreaDoseCoulombsPerSquareMetre = 3,
        AllLayers = FillCase.Options.AllLayers with { LinePitch = Spacing.FromNanometres(40), PointStep = Spacing.FromNanometres(40) },
        Order = new OrderOptions(WritingOrder.ShortTravel),
    };

    /// <summary>The same as settings of a job.</summary>
    public static BuildSettings Settings { get; } = new(
        DefaultFiles.Job with
        {
            HidesTravel = true,
            Fill = DefaultFiles.Job.Fill with { LinePitch = Spacing.FromNanometres(40), PointStep = Spacing.FromNanometres(40), Direction = FillDirection.X },
        },
        Machine,
        DefaultFiles.Process);

    /// <summary>Two combs of three fingers each that lie between each other, grid 0.1 nm; fingers 1 µm wide, gaps 1 µm.</summary>
    public static Figure[] Combs { get; } =
    [
        .. Enumerable.Range(0, 3).Select(i => FillCase.Rectangle(-50_000 + 40_000 * i, -50_000, 10_000, 100_000)),
        FillCase.Rectangle(-60_000, -80_000, 120_000, 30_000),
        .. Enumerable.Range(0, 3).Select(i => FillCase.Rectangle(-30_000 + 40_000 * i, -40_000, 10_000, 100_000)),
        FillCase.Rectangle(-60_000, 60_000, 120_000, 30_000),
    ];

    /// <summary>Strokes with jumps led around.</summary>
    public static List<Stroke> Hide(Figure[] figures, FillOptions? fill = null, RouteOptions? route = null, (long X, long Y)? park = null)
    {
        var output = new CollectingSink<StrokesHeader, Stroke>();
        var document = new FiguresDocument(new FiguresHeader(100, ["pattern"]), figures);
        StrokesStage.Write(document, fill ?? Straight, route ?? Route, park, output, new DiagnosticSink(), CancellationToken.None);
        return output.Items;
    }
}
