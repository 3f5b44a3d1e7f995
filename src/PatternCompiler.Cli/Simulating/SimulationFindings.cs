using PatternCompiler.Instrument;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Cli.Simulating;

/// <summary>All that a simulation reports.</summary>
/// <param name="Simulated">What would print.</param>
/// <param name="Exposure">Spacings, ripple and jumps of the same records.</param>
/// <param name="Window">Edges over dose and bias, or null if they were not asked for.</param>
/// <param name="Tone">What exposure does to the resist.</param>
internal sealed record SimulationFindings(
    SimulationResult Simulated, ExposureEstimate Exposure, ProcessWindowReport? Window, ResistTone Tone);
