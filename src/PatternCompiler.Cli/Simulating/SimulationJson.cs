using System.Text.Json.Serialization;
using PatternCompiler.Files;
using PatternCompiler.Instrument;
using PatternCompiler.Prediction.Seams;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Cli.Simulating;

/// <summary>A simulation for scripts; every property is a key, in this order.</summary>
internal readonly struct SimulationJson(SimulationFindings findings)
{
    public double ChargeCoulombs => findings.Simulated.ChargeCoulombs;
    public int PrintedOutlines => findings.Simulated.Printed.Count;
    public EdgesDocument? Edges => findings.Simulated.Edges is { } edges ? new(edges) : null;
    public ShapesDocument? Shapes => findings.Simulated.Shapes is { } shapes ? new(shapes) : null;
    public IEnumerable<HeightDocument>? Heights => findings.Simulated.Heights.IsEmpty ? null : findings.Simulated.Heights.Select(height => new HeightDocument(height));
    public IEnumerable<NetDocument> Nets => findings.Nets.Select(net => new NetDocument(net));
    public string StageErrors => findings.Stage.Description;
    public IEnumerable<SeamDocument> Seams => findings.Seams.Select(seam => new SeamDocument(seam));

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public HumDocument? Hum => findings.Hum is { } hum ? new(hum) : null;

    public string Tone => ToneWords.Of(findings.Response.Tone).Tone;
    public double LevelCoulombsPerSquareMetre => findings.LevelCoulombsPerSquareMetre;
    public double StepXNanometres => findings.Exposure.StepXNanometres;
    public double StepYNanometres => findings.Exposure.StepYNanometres;
    public double BeamInResistNanometres => findings.Exposure.BlurNanometres;
    public double RippleX => findings.Exposure.SpacingX.Ripple;
    public double RippleY => findings.Exposure.SpacingY.Ripple;
    public long PrintingJumps => findings.Exposure.Strays?.Printing ?? 0;
    public CellsDocument? Cells => findings.Cells is { } cells ? new(cells) : null;
    public WindowDocument? ProcessWindow => findings.Window is { } window ? new(window) : null;

    /// <summary>Writes one object and a line feed.</summary>
    public static void Write(SimulationFindings findings, Stream output) => JsonFile.Write(new SimulationJson(findings), SimulationTypes.Default, output);
}

/// <summary>Where the cells of array files lie: the first one is the lowest of the left column, rows follow each other upward.</summary>
internal sealed class CellsDocument(SampleMap cells)
{
    public double LeftNanometres => cells.Left;
    public double BottomNanometres => cells.Bottom;
    public double StepNanometres => cells.StepNanometres;
    public int Columns => cells.Columns;
    public int Rows => cells.Rows;
}

/// <summary>Edge errors, the same for prints that are predicted and prints that are measured.</summary>
internal readonly struct EdgesDocument(EdgeErrorReport edges)
{
    public long Samples => edges.Samples;
    public long Lost => edges.Lost;
    public double MeanNanometres => edges.MeanNanometres;
    public double ThreeSigmaNanometres => edges.ThreeSigmaNanometres;
    public double WorstNanometres => edges.WorstNanometres;

    /// <summary>Standard error of a place, where it was measured.</summary>
    public double? NoiseNanometres { get; init; }

    public IEnumerable<EdgeError> Worst => edges.Worst;
}

/// <summary>What the hum of the mains does to the print.</summary>
internal sealed class HumDocument(HumEffect hum)
{
    public double FrequencyHertz => hum.Hum.Hertz;
    public double StartDegrees => hum.StartDegrees;
    public HumShift Charge => hum.Shift;
    public long Places => hum.Places;
    public double RootMeanSquareNanometres => hum.RootMeanSquareNanometres;
    public EdgeError Worst => hum.Worst;
    public EdgesDocument? WithoutHum => hum.Still is { } still ? new(still) : null;
}

/// <summary>What remains of the film where a part of it is wanted; numbers are parts of the film.</summary>
internal readonly struct HeightDocument(HeightReport height)
{
    public double Wanted => height.Wanted;
    public long Places => height.Places;
    public double Mean => height.Mean;
    public double RootMeanSquareError => height.RootMeanSquareError;
    public double WorstError => height.WorstError;
    public double WorstXNanometres => height.WorstXNanometres;
    public double WorstYNanometres => height.WorstYNanometres;
    public bool BordersIncluded => height.IsNarrow;
}

/// <summary>How many faults there are of each kind; null for kinds that are not told.</summary>
internal abstract class ShapeCountsDocument
{
    public int? Shorts => Count(ShapeFaultKind.Shorted);
    public int? Bridges => Count(ShapeFaultKind.Bridge);
    public virtual int? Opens => Count(ShapeFaultKind.Open);
    public int? Cuts => Count(ShapeFaultKind.Cut);
    public int? LostFigures => Count(ShapeFaultKind.Lost);
    public int? Islands => Count(ShapeFaultKind.Island);
    public int? Holes => Count(ShapeFaultKind.Hole);
    public int? FilledHoles => Count(ShapeFaultKind.FilledHole);
    public int? MissingParts => Count(ShapeFaultKind.MissingPart);
    public int? ExcessParts => Count(ShapeFaultKind.ExcessPart);

    protected abstract int? Count(ShapeFaultKind kind);
}

internal sealed class ShapesDocument : ShapeCountsDocument
{
    private readonly ShapeReport _shapes;

    internal ShapesDocument(ShapeReport shapes) => _shapes = shapes;

    [JsonPropertyOrder(1)]
    public IEnumerable<ShapeFaultDocument> Faults => _shapes.Faults.Select(fault => new ShapeFaultDocument(fault));

    protected override int? Count(ShapeFaultKind kind) => _shapes.Count(kind);
}

internal readonly struct ShapeFaultDocument(ShapeFault fault)
{
    public string Kind => ShapeText.Words(fault.Kind).One;
    public double LeftNanometres => fault.Window.Left;
    public double BottomNanometres => fault.Window.Bottom;
    public double RightNanometres => fault.Window.Right;
    public double TopNanometres => fault.Window.Top;
}

internal readonly struct NetDocument(NetVerdict net)
{
    public string Name => net.Name;
    public bool Sound => net.IsSound;
    public int Parts => net.Parts;
    public int BarePoints => net.BarePoints;
    public IEnumerable<string> JoinedWith => net.JoinedWith;
}

internal sealed class SeamDocument : ShapeCountsDocument
{
    private readonly SeamVerdict _seam;

    internal SeamDocument(SeamVerdict seam) => _seam = seam;

    [JsonPropertyOrder(-2)]
    public string First => _seam.Seam.First.Name;

    [JsonPropertyOrder(-2)]
    public string Second => _seam.Seam.Second.Name;

    [JsonPropertyOrder(-2)]
    public double OverlapNanometres => _seam.OverlapNanometres;

    [JsonPropertyOrder(-2)]
    public double SidewaysNanometres => _seam.SidewaysNanometres;

    /// <summary>All kinds that interrupt what is drawn in one piece.</summary>
    [JsonPropertyOrder(-1)]
    public override int? Opens => _seam.Opens;

    [JsonPropertyOrder(1)]
    public double ThinsNanometres => _seam.ThinsNanometres;

    [JsonPropertyOrder(1)]
    public double WidensNanometres => _seam.WidensNanometres;

    [JsonPropertyOrder(1)]
    public long Samples => _seam.Edges.Samples;

    [JsonPropertyOrder(1)]
    public long Lost => _seam.Edges.Lost;

    protected override int? Count(ShapeFaultKind kind) => _seam.Faults.Where(fault => fault.Kind == kind).Select(fault => (int?)fault.Count).FirstOrDefault();
}

internal readonly struct WindowDocument(ProcessWindowReport window)
{
    public double LimitNanometres => window.LimitNanometres;
    public DoseRangeDocument AsDrawn => new(window, 0);
    public DoseRangeDocument Best => new(window, window.BestBiasNanometres());
    public IEnumerable<DoseStepDocument> Doses => window.Steps.Select(step => new DoseStepDocument(step));

    public IEnumerable<DoseRangeDocument> Biases => DoseRangeDocument.Around(window, 2 * window.LimitNanometres);
}

internal readonly struct DoseStepDocument(DoseStep step)
{
    public double DoseFactor => step.DoseFactor;
    public double MeanNanometres => step.Edges.MeanNanometres;
    public double ThreeSigmaNanometres => step.Edges.ThreeSigmaNanometres;
    public long Lost => step.Edges.Lost;
}

/// <summary>Without a dose inside the limit there is no range, and the latitude is 0.</summary>
internal readonly struct DoseRangeDocument(ProcessWindowReport window, double biasNanometres)
{
    private const int BiasesToEachSide = 10;

    private readonly (double Lowest, double Highest)? _range = window.RangeAt(biasNanometres);

    public double BiasNanometres => biasNanometres;
    public double? LowestDoseFactor => _range?.Lowest;
    public double? HighestDoseFactor => _range?.Highest;
    public double ExposureLatitude => window.LatitudeAt(biasNanometres);

    /// <summary>Biases from one end of the reach to the other.</summary>
    public static IEnumerable<DoseRangeDocument> Around(ProcessWindowReport window, double reachNanometres) =>
        Enumerable.Range(-BiasesToEachSide, 2 * BiasesToEachSide + 1).Select(i => new DoseRangeDocument(window, reachNanometres * i / BiasesToEachSide));
}

[JsonSourceGenerationOptions(DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull)]
[JsonSerializable(typeof(SimulationJson))]
internal sealed partial class SimulationTypes : JsonSerializerContext;
