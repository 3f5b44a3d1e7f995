using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Boolean;

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
