using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Boolean;

/// <summary>One set operation between the areas of two layers.</summary>
/// <param name="Result">Name of the layer that receives the result; it may be one of the operands' or a new one.</param>
/// <param name="Operation">How the layers combine.</param>
/// <param name="First">Layer of the first operand.</param>
/// <param name="Second">Layer of the second operand.</param>
public sealed record LayerOperation(string Result, BooleanOperation Operation, string First, string Second);
