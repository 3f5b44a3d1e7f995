using System.Collections.Immutable;
using PatternCompiler.Geometry;
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

/// <summary>One set operation between the areas of two layers.</summary>
/// <param name="Result">Name of the layer that receives the result; it may be one of the operands' or a new one.</param>
/// <param name="Operation">How the layers combine.</param>
/// <param name="First">Layer of the first operand.</param>
/// <param name="Second">Layer of the second operand.</param>
internal sealed record LayerOperation(string Result, BooleanOperation Operation, string First, string Second)
{
    /// <summary>
    /// A frame that takes the place of the first layer, whose name is then not looked at: the difference of a frame and a
    /// layer inverts the layer's tone within it. The frame has dose factor 1.
    /// </summary>
    public GridBox? Frame { get; init; }
}
