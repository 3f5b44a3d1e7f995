using PatternCompiler.Model.Figures;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fields;

/// <summary>A figure, or what a field has of it.</summary>
/// <param name="Figure">What is written.</param>
/// <param name="Drawn">The dose of the whole figure, of which tapers leave a share.</param>
/// <param name="Number">Which figure of the pattern it is or comes from.</param>
internal readonly record struct FieldPart(Figure Figure, DoseFactor Drawn, int Number);
