using System.Collections.Immutable;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Limits;

namespace PatternCompiler.Passes.Offset;

/// <summary>What the offset pass reads.</summary>
internal sealed record OffsetOptions
{
    /// <summary>Distances by layer; a layer without one stays as it is, merged.</summary>
    public ImmutableArray<LayerOffset> Offsets { get; init; } = [];

    /// <summary>Shape about corners.</summary>
    public OffsetJoin Join { get; init; } = OffsetJoin.Mitre;

    /// <summary>Largest distance of a mitre's tip from its corner, in offset distances.</summary>
    public double MitreLimit { get; init; } = OffsetShape.DefaultMitreLimit;

    /// <summary>
    /// Ends of the areas that lines without width grow into, twice the distance wide; dots grow into discs or squares. Null
    /// to leave them as they are.
    /// </summary>
    public PathCap? LineEnds { get; init; }

    /// <summary>Largest distance between a round join and its chords.</summary>
    public double ChordErrorNanometres { get; init; } = 1;

    /// <summary>Limits on crossings.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;
}
