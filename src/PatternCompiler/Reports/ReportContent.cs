using System.Collections.Immutable;
using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Reports;

/// <summary>Everything that the report of a build shows.</summary>
internal sealed record ReportContent
{
    /// <summary>Name of the job.</summary>
    public required string JobName { get; init; }

    /// <summary>What tells this build from others of the same job, in words; empty where nothing does.</summary>
    public string Variant { get; init; } = "";

    /// <summary>Version of the program.</summary>
    public required string ToolVersion { get; init; }

    /// <summary>The pattern writer.</summary>
    public required Machine Machine { get; init; }

    /// <summary>The process.</summary>
    public required Resist Process { get; init; }

    /// <summary>Settings of the job worth telling, name and value.</summary>
    public required ImmutableArray<(string Name, string Value)> Settings { get; init; }

    /// <summary>Figures and their extent.</summary>
    public required FigureTotals Figures { get; init; }

    /// <summary>What the proximity correction did, or null.</summary>
    public required ProximityReport? Correction { get; init; }

    /// <summary>Time, limits and link.</summary>
    public required ExposureEstimate Estimate { get; init; }

    /// <summary>Doses by layer.</summary>
    public required ImmutableArray<DoseRow> Doses { get; init; }

    /// <summary>The pictures, in order.</summary>
    public required ImmutableArray<ReportPicture> Pictures { get; init; }

    /// <summary>What the resist would show, or null where the process does not say how energy spreads.</summary>
    public required ReportPrediction? Prediction { get; init; }

    /// <summary>What the page plays.</summary>
    public required Player.PlayerDocument Player { get; init; }

    /// <summary>Notes and warnings, as they were reported.</summary>
    public required ImmutableArray<Diagnostic> Diagnostics { get; init; }

    /// <summary>Settings and drawings.</summary>
    public required ImmutableArray<ReportFile> Inputs { get; init; }

    /// <summary>Files that were made, the report itself not among them.</summary>
    public required ImmutableArray<ReportFile> Outputs { get; init; }
}

/// <summary>A picture of a report.</summary>
/// <param name="Title">What it shows, a few words.</param>
/// <param name="Caption">What to look for in it.</param>
/// <param name="Facts">What it holds, in figures.</param>
/// <param name="Scene">The picture, bare: its legend is set beside it.</param>
internal sealed record ReportPicture(string Title, string Caption, string Facts, Scene Scene);

/// <summary>What the resist would show in a part of the pattern.</summary>
/// <param name="Window">The part.</param>
/// <param name="PixelNanometres">Pixel of the simulation.</param>
/// <param name="LevelCoulombsPerSquareMetre">Energy at which the resist develops.</param>
/// <param name="Result">Edges, and what hangs together otherwise than drawn.</param>
internal sealed record ReportPrediction(
    SampleWindow Window, double PixelNanometres, double LevelCoulombsPerSquareMetre, SimulationResult Result)
{
    /// <summary>Simulated from strokes, as a perfect machine would write them.</summary>
    public bool IsOfStrokes { get; init; }

    /// <summary>The same in short, for lists of many builds.</summary>
    public PredictedPrint? Print { get; init; }
}
