using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Limits;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Reports;

/// <summary>
/// Simulates the resist in a window while the records, or the strokes, stream by. The window bounds the work, however large the pattern
/// is; charge outside it is kept coarsely, for what it scatters inwards.
/// </summary>
internal sealed class PredictedResist
{
    private const double FinestPixelNanometres = 1;
    private const double UsualPixelNanometres = 5;
    private const double PixelsPerSpot = 4;

    // The charge map keeps what lies outside on pixels eight times as wide, four bytes each: this bounds them to 256 MB.
    private const double LargestFieldInPixels = 65_536;
    private const double WindowPixels = 1000;
    private readonly Resist process;
    private readonly FlatLayout layout;
    private readonly double spot;
    private readonly FieldMarks? marks;
    private readonly WorkLimits limits;
    private readonly (double X, double Y)? rest;
    private readonly ChargeMap charge;

    /// <summary>Prepares a prediction.</summary>
    /// <param name="machine">Beam, blanker and deflection.</param>
    /// <param name="process">A process that says how energy spreads.</param>
    /// <param name="layout">What was drawn.</param>
    /// <param name="window">The part to look at.</param>
    /// <param name="marks">Registration marks of every write field, or null for none.</param>
    /// <param name="limits">How many crossings what is drawn may have.</param>
    public PredictedResist(Machine machine, Resist process, FlatLayout layout, SampleWindow window, FieldMarks? marks, WorkLimits limits)
    {
        this.process = process;
        this.layout = layout;
        this.marks = marks;
        this.limits = limits;
        spot = machine.Beam.SpotNanometres;
        rest = machine.Blanker.IsPresent ? null : machine.ParkOnDrawing;
        Window = window;
        PixelNanometres = PixelFor(machine);
        charge = ChargeMap.For(machine.Blanker, PixelNanometres, window);
        Records = new ExposureReplay(machine, charge);
        Strokes = new StrokesExposure(charge);
    }

    /// <summary>The part that is simulated.</summary>
    public SampleWindow Window { get; }

    /// <summary>Pixel of the simulation.</summary>
    public double PixelNanometres { get; }

    /// <summary>Takes the records: charge falls where converters, deflection and blanker put it.</summary>
    public IDocumentSink<RecordsHeader, DeflectionRecord> Records { get; }

    /// <summary>Takes strokes in place of records: charge falls where they ask for it.</summary>
    public IDocumentSink<StrokesHeader, Stroke> Strokes { get; }

    /// <summary>Energy at which the resist prints.</summary>
    public double LevelCoulombsPerSquareMetre => process.Response.PrintingCoulombsPerSquareMetre;

    /// <summary>Outlines of what is drawn in the window.</summary>
    public ContourSet Drawn { get; private set; } = ContourSet.Empty;

    /// <summary>The plan of write fields, if the pattern is divided: each has its registration marks.</summary>
    public FieldPlan? Plan { get; set; }

    /// <summary>Width of the window that a machine's spot asks for.</summary>
    public static double WidthFor(Machine machine) => WindowPixels * PixelFor(machine);

    /// <summary>Develops what was written.</summary>
    public SimulationResult Develop(CancellationToken cancellation)
    {
        var options = new SimulationOptions(process.Spread!, spot, LevelCoulombsPerSquareMetre)
        {
            GridPicometres = layout.GridPicometres,
            MapStepNanometres = 2 * PixelNanometres,
            RestNanometres = rest,
            Limits = limits,
        };
        DrawnPattern drawn = DrawnPattern.Of(layout, Window.Widened(options.SearchNanometres), limits, cancellation).With(marks, Plan, layout.GridPicometres, limits, cancellation);
        Drawn = drawn.Areas;
        return Developer.Run(charge, drawn, options, cancellation);
    }

    /// <summary>Pixel that a machine's spot asks for.</summary>
    public static double PixelFor(Machine machine)
    {
        double field = Math.Max(machine.Deflection.FieldWidthNanometres, machine.Deflection.FieldHeightNanometres);
        double wanted = Math.Clamp(machine.Beam.SpotNanometres / PixelsPerSpot, FinestPixelNanometres, UsualPixelNanometres);
        return Math.Max(wanted, field / LargestFieldInPixels);
    }
}
