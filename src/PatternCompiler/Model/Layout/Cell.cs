using System.Collections.Immutable;

namespace PatternCompiler.Model.Layout;

/// <summary>A named group of shapes and of placed instances of other cells.</summary>
/// <param name="Name">Unique name, never empty.</param>
/// <param name="Shapes">Shapes in drawing order.</param>
/// <param name="Instances">Placed cells in drawing order.</param>
internal sealed record Cell(string Name, ImmutableArray<Shape> Shapes, ImmutableArray<Instance> Instances);
