using System.Collections.Immutable;
using PatternCompiler.Instrument;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Seams;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Cli.Simulating;

/// <summary>All that a simulation reports.</summary>
/// <param name="Simulated">What would print.</param>
/// <param name="Exposure">Spacings, ripple and jumps of the same records.</param>
/// <param name="Window">Edges over dose and bias, or null if they were not asked for.</param>
/// <param name="Nets">What becomes of the job's nets; empty where it names none, or a part alone is simulated.</param>
/// <param name="Response">What development makes of a dose.</param>
/// <param name="LevelCoulombsPerSquareMetre">Dose at whose energy the outlines lie.</param>
internal sealed record SimulationFindings(
    SimulationResult Simulated,
    ExposureEstimate Exposure,
    ProcessWindowReport? Window,
    ImmutableArray<NetVerdict> Nets,
    ResistResponse Response,
    double LevelCoulombsPerSquareMetre)
{
    /// <summary>Seams between write fields; empty without fields or without a layout.</summary>
    public ImmutableArray<SeamVerdict> Seams { get; init; } = [];

    /// <summary>Number of write fields; 0 where the pattern is written from one position.</summary>
    public int Fields { get; init; }

    /// <summary>Where the cells of array files lie; null if none is written.</summary>
    public SampleMap? Cells { get; init; }

    /// <summary>What the hum of the mains does; null where the machine states none.</summary>
    public HumEffect? Hum { get; init; }

    /// <summary>What the stage missed.</summary>
    public StageErrors Stage { get; init; } = StageErrors.None;
}
