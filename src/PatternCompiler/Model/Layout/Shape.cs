using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Units;

namespace PatternCompiler.Model.Layout;

/// <summary>Anything drawn on a layer.</summary>
/// <param name="Layer">Index into <see cref="LayoutDocument.Layers"/>.</param>
/// <param name="DoseFactor">Multiplies the layer's base dose.</param>
/// <remarks>Two shapes are equal if they draw the same, wherever they were drawn.</remarks>
internal abstract record Shape(int Layer, DoseFactor DoseFactor)
{
    /// <summary>Where it was drawn, for <see cref="LayoutDocument.Places"/>.</summary>
    public PlaceId Place { get; init; }

    /// <summary>True if the other draws the same.</summary>
    public virtual bool Equals(Shape? other) =>
        other is not null && EqualityContract == other.EqualityContract && Layer == other.Layer && DoseFactor == other.DoseFactor;

    /// <inheritdoc/>
    public override int GetHashCode() => HashCode.Combine(EqualityContract, Layer, DoseFactor);
}

/// <summary>An upright rectangle with <c>XLeft &lt; XRight</c> and <c>YBottom &lt; YTop</c>.</summary>
internal sealed record RectangleShape(int Layer, DoseFactor DoseFactor, int XLeft, int YBottom, int XRight, int YTop)
    : Shape(Layer, DoseFactor);

/// <summary>
/// An area bounded by one or more rings; where it has several, the others are holes or further parts by
/// <paramref name="FillRule"/>.
/// </summary>
internal sealed record PolygonShape(int Layer, DoseFactor DoseFactor, ContourSet Contours, FillRule FillRule)
    : Shape(Layer, DoseFactor);

/// <summary>A filled circle of radius 1 grid step or more.</summary>
internal sealed record CircleShape(int Layer, DoseFactor DoseFactor, GridPoint Centre, int Radius)
    : Shape(Layer, DoseFactor);

/// <summary>The area between two circles about one centre, <c>0 &lt; InnerRadius &lt; OuterRadius</c>.</summary>
internal sealed record RingShape(int Layer, DoseFactor DoseFactor, GridPoint Centre, int InnerRadius, int OuterRadius)
    : Shape(Layer, DoseFactor);

/// <summary>A polyline of two points or more drawn with a width; mitred joins.</summary>
internal sealed record PathShape(int Layer, DoseFactor DoseFactor, ImmutableArray<GridPoint> Points, int Width, PathEnd End)
    : Shape(Layer, DoseFactor);

/// <summary>A polyline of two points or more without width: written as single lines at the line dose.</summary>
internal sealed record LineShape(int Layer, DoseFactor DoseFactor, ImmutableArray<GridPoint> Points)
    : Shape(Layer, DoseFactor);

/// <summary>A single dot, written at the dot charge.</summary>
internal sealed record DotShape(int Layer, DoseFactor DoseFactor, GridPoint Position)
    : Shape(Layer, DoseFactor);

/// <summary>How a path with width ends.</summary>
internal enum PathEnd
{
    /// <summary>Cut square at the end point.</summary>
    Flat,

    /// <summary>Extended by half the width.</summary>
    Square,

    /// <summary>A half circle about the end point.</summary>
    Round,
}
