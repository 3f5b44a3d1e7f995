namespace PatternCompiler.Prediction.Simulation;

/// <summary>A place on a drawn edge with the direction out of the drawn area.</summary>
internal readonly record struct EdgeSample(double X, double Y, double OutX, double OutY);
