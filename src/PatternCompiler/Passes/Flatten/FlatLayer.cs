using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Flatten;

/// <summary>Everything of one layer and one dose factor, with the hierarchy resolved and curves turned into polygons.</summary>
/// <param name="Layer">Index into the layout's layers.</param>
/// <param name="DoseFactor">Dose factor of the whole group.</param>
/// <param name="Area">Rings that cover the area by the nonzero rule; outer rings counter-clockwise. They may overlap.</param>
/// <param name="Lines">Zero-width polylines, two points or more each.</param>
/// <param name="Dots">Dots.</param>
internal sealed record FlatLayer(
    int Layer,
    DoseFactor DoseFactor,
    ContourSet Area,
    ImmutableArray<ImmutableArray<GridPoint>> Lines,
    ImmutableArray<GridPoint> Dots)
{
    /// <summary>What is to remain of the resist, where that is wanted of the area; null where its dose factor was drawn.</summary>
    public WantedHeight? Height { get; init; }

    /// <summary>Place in the order in which the drawing first uses its layers and dose factors.</summary>
    public int Rank { get; init; }
}

/// <summary>A height of the resist that is wanted of an area.</summary>
/// <param name="Remaining">Part of the film that is to remain, 0 to 1.</param>
/// <param name="Prints">True if the area is to print like any other: a positive resist is to be gone, half of a negative one or more to stay.</param>
internal readonly record struct WantedHeight(double Remaining, bool Prints);
