namespace PatternCompiler.Passes.Fill;

/// <summary>The way that the beam travels blanked between the figures of a layer.</summary>
/// <param name="Layer">Name of the layer.</param>
/// <param name="GivenNanometres">In the order in which the document lists them.</param>
/// <param name="OrderedNanometres">In the order in which they are written.</param>
/// <param name="LeastNanometres">A bound that no order can beat.</param>
public sealed record LayerTravel(string Layer, double GivenNanometres, double OrderedNanometres, double LeastNanometres);
