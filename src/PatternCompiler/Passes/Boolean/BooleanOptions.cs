using System.Collections.Immutable;
using PatternCompiler.Limits;

namespace PatternCompiler.Passes.Boolean;

/// <summary>What the boolean pass reads.</summary>
internal sealed record BooleanOptions
{
    /// <summary>Operations in order; each sees the results of those before it. None: every layer is merged by itself.</summary>
    public ImmutableArray<LayerOperation> Operations { get; init; } = [];

    /// <summary>
    /// Whether layers that are not a result stay in the output, merged. If not, only the results do.
    /// </summary>
    public bool KeepOtherLayers { get; init; }

    /// <summary>Layers that are written in the end; empty for all that stay. Lines without width are lost only with their layer.</summary>
    public ImmutableArray<string> Written { get; init; } = [];

    /// <summary>Limits on crossings.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;
}
