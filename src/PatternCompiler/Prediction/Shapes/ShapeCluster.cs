using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>Faults of one kind that lie close together.</summary>
/// <param name="Kind">What they are.</param>
/// <param name="Count">How many.</param>
/// <param name="Window">The extent of all.</param>
internal readonly record struct ShapeCluster(ShapeFaultKind Kind, int Count, SampleWindow Window);
