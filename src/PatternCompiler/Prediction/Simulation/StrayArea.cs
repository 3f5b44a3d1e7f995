namespace PatternCompiler.Prediction.Simulation;

/// <summary>A printed place that touches nothing of the layout.</summary>
/// <param name="Window">Its extent.</param>
/// <param name="AreaSquareNanometres">Its area.</param>
public readonly record struct StrayArea(SampleWindow Window, double AreaSquareNanometres);
