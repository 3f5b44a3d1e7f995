using PatternCompiler.Instrument;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Cli.Simulating;

/// <summary>All that a simulation reports.</summary>
/// <param name="Simulated">What would print.</param>
/// <param name="Exposure">Spacings, ripple and jumps of the same records.</param>
/// <param name="Window">Edges over dose and bias, or null if they were not asked for.</param>
/// <param name="Response">What development makes of a dose.</param>
/// <param name="LevelCoulombsPerSquareMetre">Dose at whose energy the outlines lie.</param>
internal sealed record SimulationFindings(
    SimulationResult Simulated, ExposureEstimate Exposure, ProcessWindowReport? Window, ResistResponse Response, double LevelCoulombsPerSquareMetre);
