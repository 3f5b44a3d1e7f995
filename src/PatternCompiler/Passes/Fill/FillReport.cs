using System.Collections.Immutable;

namespace PatternCompiler.Passes.Fill;

/// <summary>What filling decided.</summary>
/// <param name="Spacings">Line pitches and point steps that were chosen.</param>
/// <param name="Travels">Blanked travel of the layers whose figures were ordered for it.</param>
public sealed record FillReport(ImmutableArray<SpacingChoice> Spacings, ImmutableArray<LayerTravel> Travels)
{
    /// <summary>Nothing was filled.</summary>
    public static FillReport Empty { get; } = new([], []);
}

/// <summary>The way that the beam travels blanked between the figures of a layer.</summary>
/// <param name="Layer">Name of the layer.</param>
/// <param name="GivenNanometres">In the order in which the document lists them.</param>
/// <param name="OrderedNanometres">In the order in which they are written.</param>
/// <param name="LeastNanometres">A bound that no order can beat.</param>
public sealed record LayerTravel(string Layer, double GivenNanometres, double OrderedNanometres, double LeastNanometres);
