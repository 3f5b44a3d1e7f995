using System.Collections.Immutable;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Jobs.Fields;

/// <summary>One visit of the stage.</summary>
/// <param name="Field">The write field.</param>
/// <param name="StageXNanometres">Reading of the stage.</param>
/// <param name="StageYNanometres">Reading of the stage.</param>
/// <param name="Figures">Number of figures written there.</param>
/// <param name="MoveSeconds">Time of the move that leads there.</param>
/// <param name="WriteSeconds">Time that the beam takes there, or null where it is not compiled so far.</param>
/// <param name="Files">Its files.</param>
internal sealed record FieldVisit(
    WriteField Field,
    double StageXNanometres,
    double StageYNanometres,
    int Figures,
    double MoveSeconds,
    double? WriteSeconds,
    ImmutableArray<FieldFile> Files);
