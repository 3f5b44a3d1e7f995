namespace PatternCompiler.Prediction.Simulation;

/// <summary>Edges at one dose of a process window.</summary>
/// <param name="DoseFactor">Dose over nominal dose.</param>
/// <param name="Edges">Edge placement.</param>
internal sealed record DoseStep(double DoseFactor, EdgeErrorReport Edges);
