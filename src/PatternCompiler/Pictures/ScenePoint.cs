namespace PatternCompiler.Pictures;

/// <summary>A place on the sample plane.</summary>
/// <param name="X">Nanometres to the right of the origin.</param>
/// <param name="Y">Nanometres above the origin.</param>
internal readonly record struct ScenePoint(double X, double Y);
