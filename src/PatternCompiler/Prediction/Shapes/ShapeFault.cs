using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>A place where the printed pattern hangs together otherwise than the drawn one.</summary>
/// <param name="Kind">How.</param>
/// <param name="Window">Its extent: of a short or an open the narrow part where areas meet or part, otherwise of the whole area.</param>
internal readonly record struct ShapeFault(ShapeFaultKind Kind, SampleWindow Window);
