using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Reports;

/// <summary>What the resist would show in a part of the pattern.</summary>
/// <param name="Window">The part.</param>
/// <param name="PixelNanometres">Pixel of the simulation.</param>
/// <param name="LevelCoulombsPerSquareMetre">Energy at which the resist develops.</param>
/// <param name="Result">Edges, and what hangs together otherwise than drawn.</param>
internal sealed record ReportPrediction(
    SampleWindow Window, double PixelNanometres, double LevelCoulombsPerSquareMetre, SimulationResult Result)
{
    /// <summary>Simulated from strokes, as a perfect machine would write them.</summary>
    public bool IsOfStrokes { get; init; }
}
