using PatternCompiler.Geometry;

namespace PatternCompiler.Jobs.Operations;

/// <summary>An area made from layers, as an operation of a job file describes it in words.</summary>
public abstract record LayerExpression
{
    /// <summary>Layers that it names, in reading order.</summary>
    public abstract IEnumerable<string> Layers { get; }
}

/// <summary>The area of a layer, or of the result of an earlier operation.</summary>
/// <param name="Name">Its name.</param>
internal sealed record LayerArea(string Name) : LayerExpression
{
    /// <inheritdoc/>
    public override IEnumerable<string> Layers => [Name];
}

/// <summary>An upright rectangle in the drawing's coordinates.</summary>
internal sealed record RectangleArea(double XLeftNanometres, double YBottomNanometres, double XRightNanometres, double YTopNanometres)
    : LayerExpression
{
    /// <inheritdoc/>
    public override IEnumerable<string> Layers => [];
}

/// <summary>The bounding box of a layer, wider by a margin on every side.</summary>
/// <param name="MarginNanometres">The margin, zero or more.</param>
/// <param name="Name">The layer.</param>
internal sealed record FrameArea(double MarginNanometres, string Name) : LayerExpression
{
    /// <inheritdoc/>
    public override IEnumerable<string> Layers => [Name];
}

/// <summary>Two areas combined.</summary>
/// <param name="Operation">How.</param>
/// <param name="First">The first area.</param>
/// <param name="Second">The second area.</param>
internal sealed record CombinedArea(BooleanOperation Operation, LayerExpression First, LayerExpression Second) : LayerExpression
{
    /// <inheritdoc/>
    public override IEnumerable<string> Layers => First.Layers.Concat(Second.Layers);
}

/// <summary>An area with its edges moved; corners stay sharp.</summary>
/// <param name="DistanceNanometres">Outward move, negative for inward.</param>
/// <param name="Area">The area.</param>
internal sealed record MovedArea(double DistanceNanometres, LayerExpression Area) : LayerExpression
{
    /// <inheritdoc/>
    public override IEnumerable<string> Layers => Area.Layers;
}
