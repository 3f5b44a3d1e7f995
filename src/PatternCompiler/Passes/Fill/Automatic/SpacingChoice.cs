namespace PatternCompiler.Passes.Fill.Automatic;

/// <summary>The line pitch and point step that were chosen for a layer, and why.</summary>
/// <param name="Layer">Name of the layer.</param>
/// <param name="Chosen">The choice and what it means.</param>
/// <param name="PitchRule">What keeps the line pitch from being a code finer.</param>
/// <param name="StepRule">What keeps the point step from being a code finer.</param>
/// <param name="Finer">One code finer in all that was to be chosen; null where that is not possible.</param>
/// <param name="Coarser">One code coarser.</param>
/// <param name="LowestDoseFactor">Lowest dose factor of a figure on the layer.</param>
/// <param name="HighestDoseFactor">Highest dose factor of a figure on the layer.</param>
/// <param name="HasReserve">
/// Regular points are longer than the controller's shortest dwell by a reserve, so that lighter points can weight edges.
/// </param>
public sealed record SpacingChoice(
    string Layer,
    SpacingEffect Chosen,
    SpacingRule PitchRule,
    SpacingRule StepRule,
    SpacingEffect? Finer,
    SpacingEffect Coarser,
    double LowestDoseFactor,
    double HighestDoseFactor,
    bool HasReserve);
