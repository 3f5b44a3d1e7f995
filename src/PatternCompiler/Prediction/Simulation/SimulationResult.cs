using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Prediction.Shapes;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>What the resist would show.</summary>
/// <param name="GridPicometres">Grid of <paramref name="Printed"/>.</param>
/// <param name="Printed">Outlines of everything whose energy reaches the level, the printed area on their left.</param>
/// <param name="Edges">Placement of the layout's edges; null if no layout was given.</param>
/// <param name="Shapes">What hangs together otherwise than drawn; null if no layout was given.</param>
/// <param name="ChargeCoulombs">Charge deposited.</param>
/// <param name="Map">The energy, or null if none was asked for.</param>
internal sealed record SimulationResult(
    long GridPicometres,
    ContourSet Printed,
    EdgeErrorReport? Edges,
    ShapeReport? Shapes,
    double ChargeCoulombs,
    SampleMap? Map)
{
    /// <summary>Edges of each zone that was asked for.</summary>
    public ImmutableArray<EdgeErrorReport> ZoneEdges { get; init; } = [];

    /// <summary>Around everything of which a part of the film is wanted; null if nothing is.</summary>
    public SampleWindow? HeightsExtent { get; init; }

    /// <summary>What remains where a part of the film is wanted.</summary>
    public ImmutableArray<HeightReport> Heights { get; init; } = [];

    /// <summary>Remaining part of the resist's thickness, or null if it was not asked for.</summary>
    public SampleMap? Thickness { get; init; }
}
