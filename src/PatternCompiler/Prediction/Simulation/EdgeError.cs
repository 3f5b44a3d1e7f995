namespace PatternCompiler.Prediction.Simulation;

/// <summary>How far the printed edge lies outside the drawn one at a place.</summary>
/// <param name="XNanometres">Place on the drawn edge.</param>
/// <param name="YNanometres">Place on the drawn edge.</param>
/// <param name="Nanometres">Positive where the printed area is larger than drawn.</param>
internal readonly record struct EdgeError(double XNanometres, double YNanometres, double Nanometres);
