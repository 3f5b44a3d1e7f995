namespace PatternCompiler.Prediction.Simulation;

/// <summary>A place where the remaining film is looked at.</summary>
/// <param name="X">In nanometres.</param>
/// <param name="Y">In nanometres.</param>
/// <param name="Area">Number of the area with a height that it lies in.</param>
internal readonly record struct HeightSample(double X, double Y, int Area);
