using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Runs.Steps;

/// <summary>What a run writes in one piece, between two holds.</summary>
/// <param name="Name">What it is called: the field, group or copy; no two steps of a run share it.</param>
/// <param name="Position">Where the stage stands.</param>
/// <param name="Figures">What is written there.</param>
/// <param name="DoseFactor">Multiplies every base dose.</param>
/// <param name="Focus">The focus that the operator is to set; null to leave it.</param>
internal sealed record RunStep(string Name, StagePosition Position, FiguresDocument Figures, double DoseFactor, string? Focus);
