using System.Collections.Immutable;
using PatternCompiler.Passes.Fill.Automatic;

namespace PatternCompiler.Passes.Fill;

/// <summary>What filling decided.</summary>
/// <param name="Spacings">Line pitches and point steps that were chosen.</param>
/// <param name="Travels">Blanked travel of the layers whose figures were ordered for it.</param>
public sealed record FillReport(ImmutableArray<SpacingChoice> Spacings, ImmutableArray<LayerTravel> Travels)
{
    /// <summary>Nothing was filled.</summary>
    public static FillReport Empty { get; } = new([], []);
}
