using System.Text;
using System.Text.RegularExpressions;
using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Prediction.Stray;
using PatternCompiler.Reports;
using PatternCompiler.Reports.Html;
using PatternCompiler.Tests.Architecture;
using PatternCompiler.Units;
using Snapshooter;
using Snapshooter.Xunit;

namespace PatternCompiler.Tests.Reports;

public sealed partial class ReportPageTests
{
    private static readonly ContourSet Square = ContourSet.FromRing(new GridPoint(0, 0), new GridPoint(20_000, 0), new GridPoint(20_000, 20_000), new GridPoint(0, 20_000));

    // Invented values, every one of them another number, so that a mix-up would show.
    private static ReportContent Content => new()
    {
        JobName = "two pads",
        Player = new PatternCompiler.Reports.Player.PlayerDocument("two pads", new PatternCompiler.Reports.Player.PlayerRecords(10, link: null)),
        ToolVersion = "1.2.3",
        Machine = DefaultFiles.Machine,
        Process = DefaultFiles.Process,
        Settings = [("Grid", "0.1 nm"), ("Fill", "lines 20 nm apart")],
        Figures = new FigureTotals(12, 9, 2, 1, -4000, -2000, 5000, 3500),
        Correction = new ProximityReport(6, 12, 7, 0.012, 0.0034, 0.05, [], 0.91, 1.32),
        Estimate = Estimate,
        Doses =
        [
            new DoseRow("pads", FigureKind.Trapezoid, 9, 4e-12, 2.73, 3.96, 41_000, 1.2e-11),
            new DoseRow("wires", FigureKind.Line, 2, 6e-6, 1.5e-7, 1.5e-7, 600, 9e-13),
            new DoseRow("wires", FigureKind.Dot, 1, 1, 2e-14, 2e-14, 1, 2e-14),
        ],
        Pictures =
        [
            new ReportPicture(
                "Layout",
                "What is drawn.",
                "1 outline · 12 345 points",
                LayoutPicture.Compose(
                    new FlatLayout(100, ["pads"], [new FlatLayer(0, DoseFactor.One, Square, [], [])]), new PictureOptions { WidthPixels = 480, IsBare = true })),
        ],
        Prediction = new ReportPrediction(
            new SampleWindow(-500, -400, 4500, 3600),
            5,
            1.5,
            new SimulationResult(100, Square, new EdgeErrorReport(750, 3, null, -1.25, 2, [new EdgeError(2000, 150, -9.5)]), new ShapeReport([new ShapeFault(ShapeFaultKind.Shorted, new SampleWindow(0, 0, 10, 20)), new ShapeFault(ShapeFaultKind.Island, new SampleWindow(0, 0, 10, 20))]), 1e-11, null)),
        Diagnostics =
        [
            new Diagnostic(DxfCodes.Ignored, Severity.Note, "ignored 1 TEXT on layer NOTES", new SourcePlace("chip.dxf", 43)),
            new Diagnostic(FillCodes.NoDose, Severity.Note, "1 figure without dose not written, first figure 3"),
            .. Enumerable.Range(1, 15).Select(i => new Diagnostic(PredictionCodes.CoarseCodes, Severity.Warning, $"doubt <{i}>", default, "use less & less")),
        ],
        Inputs = [new ReportFile("job.yaml", "job", 321, "a1"), new ReportFile("chip.dxf", "drawing", 5000, "b2")],
        Outputs = [new ReportFile("out/chip.stream", "stream", 2_000_000, "c3"), new ReportFile("standard stream", "npy", 7, null)],
    };

    private static ExposureEstimate Estimate => new()
    {
        MachineName = "writer",
        Records = 1234,
        Jumps = 56,
        Lines = 700,
        Points = 41_601,
        ExposingSeconds = 75,
        SettlingSeconds = 15,
        WaitingSeconds = 4,
        PointStreamBytes = 400_000,
        LineStreamBytes = 30_000,
        StepXNanometres = 1.5,
        StepYNanometres = 1.25,
        SpotNanometres = 21,
        BlurNanometres = 102,
        SpacingX = new SpacingEstimate(9, 12, 0.004, 10),
        SpacingY = new SpacingEstimate(0, 0, 0, 0),
        ClockHertz = 1e7,
        MinimumDwellTicks = 5,
        MaximumDwellTicks = 65_535,
        ShortestDwellTicks = 12,
        LongestDwellTicks = 2000,
        Link = new LinkEstimate(8e6, 65_536, 200_000, 4e6, 1, 6, 6, null, null) { Blocks = 124, NeededBlocks = 8, RoundTripSeconds = 0.001 },
        InterpolatesLines = true,
        ChargeCoulombs = 1.292e-11,
        Electrons = 8.06e7,
        FewestElectrons = 125_000,
        FewestElectronsFigure = 3,
        Field = new FieldEstimate(0.09, 0.055, 30_107, -4000, -2000, 5000, 3500),
        Strays = new StrayReport(56, 2, 4000, 1.5, [], false),
    };

    private static string PageOf(ReportContent content)
    {
        using var page = new MemoryStream();
        ReportPage.Write(content, page);
        return Encoding.UTF8.GetString(page.ToArray());
    }

    [Fact]
    public void A_page_is_what_it_was()
    {
        // Pictures, style sheet and script have tests of their own.
        Snapshot.Match(
            Script().Replace(Data().Replace(Style().Replace(PageOf(Content), "<style></style>"), "data:$1"), "<script></script>"),
            new SnapshotFullName("ReportPageTests.A_page_is_what_it_was.snap", Path.Combine(SourceTree.Root, "tests", "PatternCompiler.Tests", "Reports")));
    }

    [Fact]
    public void Without_messages_strays_or_prediction_it_says_so()
    {
        string page = PageOf(Content with { Diagnostics = [], Prediction = null, Correction = null, Outputs = [] });
        Assert.Contains("No warnings. Read the notes and the cautions before the beam is on.", page, StringComparison.Ordinal);
        Assert.Contains("Nothing: everything in the drawings that can be exposed was read.", page, StringComparison.Ordinal);
        Assert.Contains("Not predicted", page, StringComparison.Ordinal);
        Assert.Contains("Doses were not corrected", page, StringComparison.Ordinal);
        Assert.DoesNotContain("<caption>Made</caption>", page, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_colour_of_a_legend_has_its_style() =>
        Assert.All(Enumerable.Range(0, Palette.HueCount), hue => Assert.Contains($".tint.hue{hue} {{", ReportStyle.Text, StringComparison.Ordinal));

    [GeneratedRegex("<script>\n.*?</script>", RegexOptions.Singleline)]
    private static partial Regex Script();

    [GeneratedRegex("<style>.*?</style>", RegexOptions.Singleline)]
    private static partial Regex Style();

    [GeneratedRegex("data:(image/[a-z+]+);base64,[A-Za-z0-9+/=]+")]
    private static partial Regex Data();
}
