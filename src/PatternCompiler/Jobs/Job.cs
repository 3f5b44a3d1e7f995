using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Operations;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Order;
using PatternCompiler.Prediction.Shapes;

namespace PatternCompiler.Jobs;

/// <summary>Everything that one build does, as its job file says it. Paths are resolved against the job file's folder.</summary>
/// <param name="Name">Name given in the file.</param>
/// <param name="MachinePath">Machine file, or null for the built-in machine.</param>
/// <param name="ProcessPath">Process file, or null for the built-in process.</param>
/// <param name="Sources">Drawings, laid over each other.</param>
/// <param name="Operations">Layers to make from others, in order.</param>
/// <param name="Write">Layers to write; empty for all. Never empty where there are operations.</param>
/// <param name="Position">Where the pattern stands in the field.</param>
/// <param name="GridPicometres">Grid step of the layout.</param>
/// <param name="ChordErrorNanometres">Largest distance between a curve and its polygon.</param>
/// <param name="FractureDirection">Direction of the figures' parallel sides.</param>
/// <param name="DoseOverlap">Which dose a place gets that areas of different dose factors cover on one layer.</param>
/// <param name="Correction">Proximity correction, or null for none.</param>
/// <param name="Fill">Fill of layers without settings of their own; complete.</param>
/// <param name="Layers">Layers written first, in this order, and their settings; the others follow in the drawing's order.</param>
/// <param name="Markers">A marker record starts each figure.</param>
/// <param name="Outputs">Files to make.</param>
/// <param name="Keep">Documents between the stages to keep.</param>
public sealed record Job(
    string Name,
    string? MachinePath,
    string? ProcessPath,
    ImmutableArray<JobSource> Sources,
    ImmutableArray<AreaOperation> Operations,
    ImmutableArray<string> Write,
    PatternPosition Position,
    long GridPicometres,
    double ChordErrorNanometres,
    FractureDirection FractureDirection,
    DoseOverlapRule DoseOverlap,
    CorrectionSettings? Correction,
    FillSettings Fill,
    ImmutableArray<LayerSettings> Layers,
    bool Markers,
    ImmutableArray<JobOutput> Outputs,
    KeptDocuments Keep)
{
    /// <summary>The job file, or null where there is none on disk.</summary>
    public string? File { get; init; }

    /// <summary>The report to write, or null for none.</summary>
    public JobReport? Report { get; init; }

    /// <summary>Where it is written what the outputs come from, or null for nowhere.</summary>
    public string? ProvenancePath { get; init; }

    /// <summary>Where to write what was drawn where, for messages about the outputs; null for nowhere.</summary>
    public string? PlacesPath { get; init; }

    /// <summary>Points that must hang together, drawn and printed, and stay apart from other nets'.</summary>
    public ImmutableArray<Net> Nets { get; init; } = [];

    /// <summary>How much work the drawings may ask for.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;

    /// <summary>Order of writing within a layer.</summary>
    public OrderOptions Order { get; init; } = new(WritingOrder.ShortTravel);

    /// <summary>Jumps that would print are led over exposed areas and around the pattern.</summary>
    public bool HidesTravel { get; init; }

    /// <summary>A stray line that would print is an error.</summary>
    public bool IsStrict { get; init; }

    /// <summary>Move of the edges of every layer without a bias of its own.</summary>
    public BiasSettings Bias { get; init; } = new(0, OffsetJoin.Mitre);

    /// <summary>Largest height and width of a figure; 0 for no limit.</summary>
    public double LargestFigureNanometres { get; init; }

    /// <summary>Figures narrower than this are avoided and reported; 0 to look for none.</summary>
    public double SliverNanometres { get; init; }

    /// <summary>Write fields, or null to write everything from one position of the stage.</summary>
    public FieldSettings? Fields { get; init; }

    /// <summary>How the layer is placed on the one below; null for where it is drawn.</summary>
    public JobAlignment? Alignment { get; init; }

    /// <summary>Marks of the layer below to look at with the writing beam; null for none.</summary>
    public LookSettings? Looks { get; init; }

    /// <summary>What a run of the job asks, and where it holds.</summary>
    internal RunSettings Run { get; init; } = RunSettings.Usual;

    /// <summary>Points of curves are left out that lie this close to the edge that takes their place; 0 leaves all in.</summary>
    public double SmoothingNanometres { get; init; }

    /// <summary>Its settings files on disk: its own, machine, process and alignments.</summary>
    internal IEnumerable<(string Path, string Role)> SettingsFiles =>
    [
        .. Named(File, "job"),
        .. Named(MachinePath, "machine"),
        .. Named(ProcessPath, "process"),
        .. (Alignment?.Paths ?? []).Select(path => (path, "alignment")),
    ];

    /// <summary>
    /// Everything that it writes, as the job names it; write fields add their own names to these, so that a clash here is a clash there.
    /// </summary>
    internal IEnumerable<string> OutputPaths =>
    [
        .. Outputs.Select(output => output.Path),
        .. new[] { Keep.Layout, Keep.Figures, Keep.Strokes, Keep.Records, Report?.Path, ProvenancePath, PlacesPath, Fields?.ManifestPath }.OfType<string>(),
    ];

    private static IEnumerable<(string Path, string Role)> Named(string? path, string role) => path is null ? [] : [(path, role)];

    /// <summary>The same job with other names of all that it writes.</summary>
    internal Job WithOutputPaths(Func<string, string> change)
    {
        return this with
        {
            Outputs = [.. Outputs.Select(output => output with { Path = change(output.Path) })],
            Report = Report is { } report ? report with { Path = change(report.Path) } : null,
            ProvenancePath = Changed(ProvenancePath),
            PlacesPath = Changed(PlacesPath),
            Fields = Fields is { } fields ? fields with { ManifestPath = Changed(fields.ManifestPath) } : null,
            Keep = Keep with
            {
                Layout = Changed(Keep.Layout),
                Figures = Changed(Keep.Figures),
                Strokes = Changed(Keep.Strokes),
                Records = Changed(Keep.Records),
            },
        };

        string? Changed(string? path) => path is null ? null : change(path);
    }
}

/// <summary>How edges are moved to make up for the spot and for development.</summary>
/// <param name="DistanceNanometres">Outward move, negative for inward.</param>
/// <param name="Corners">Shape about corners.</param>
public sealed record BiasSettings(double DistanceNanometres, OffsetJoin Corners);

/// <summary>How a job is divided into write fields.</summary>
/// <param name="Options">The division; the step of the stage comes from the machine.</param>
/// <param name="ManifestPath">Where the list of fields goes, or null to name it after the first output.</param>
public sealed record FieldSettings(FieldOptions Options, string? ManifestPath);

/// <summary>How a job's layer is placed on the one below.</summary>
/// <param name="Layers">The placements.</param>
/// <param name="Paths">Files that they were read from; empty for values in the job file.</param>
public sealed record JobAlignment(LayerAlignment Layers, ImmutableArray<string> Paths);

/// <summary>One file that a build makes.</summary>
/// <param name="Path">Where it goes.</param>
/// <param name="Format">What it holds.</param>
public sealed record JobOutput(string Path, OutputFormat Format)
{
    /// <summary>Where the job says it in a word of the version before; null if it does not.</summary>
    internal SourcePlace? OldWord { get; init; }
}

/// <summary>The report that a build writes.</summary>
/// <param name="Path">Where it goes, one HTML file.</param>
public sealed record JobReport(string Path)
{
    /// <summary>What tells this build from others of the same job, in words; empty where nothing does.</summary>
    public string Variant { get; init; } = "";

    /// <summary>Middle of the part that is shown closely and simulated; null for the place with most edges.</summary>
    public (double XNanometres, double YNanometres)? Centre { get; init; }

    /// <summary>Width of that part; null for what the spot allows in a short time.</summary>
    public double? WidthNanometres { get; init; }
}

/// <summary>Where a build writes the documents between its stages; null for those that are not kept.</summary>
/// <param name="Layout">The layout as read and placed.</param>
/// <param name="Figures">The figures.</param>
/// <param name="Strokes">The strokes.</param>
/// <param name="Records">The records.</param>
/// <param name="Binary">Figures, strokes and records in their compact binary form instead of text.</param>
public sealed record KeptDocuments(string? Layout, string? Figures, string? Strokes, string? Records, bool Binary)
{
    /// <summary>Keep nothing.</summary>
    public static KeptDocuments None { get; } = new(null, null, null, null, false);
}

/// <summary>Where the pattern stands in the field.</summary>
public enum PatternPosition
{
    /// <summary>The drawing's origin is the field's centre.</summary>
    AsDrawn,

    /// <summary>The middle of the pattern's bounding box is the field's centre.</summary>
    Centred,
}
