using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Flatten;

/// <summary>The chosen shapes of one cell, in the cell's own coordinates, by layer and dose factor.</summary>
/// <param name="Groups">One entry per layer and dose factor, in the order of their first shapes.</param>
/// <param name="Repeated">Shapes left out because they lie exactly on others.</param>
/// <param name="FirstRepeated">The first of them.</param>
internal sealed record PreparedCell(ImmutableArray<PreparedGroup> Groups, long Repeated, Shape? FirstRepeated);

/// <summary>Shapes of one layer and dose factor.</summary>
/// <param name="Layer">Index of the layer.</param>
/// <param name="DoseFactor">Their dose factor within the cell.</param>
/// <param name="Straight">Rectangles and polygons, ready for the nonzero rule.</param>
/// <param name="Curved">Circles, rings and paths as polygons, for copies that keep lengths.</param>
/// <param name="CurvedShapes">The same as shapes, for copies that do not.</param>
/// <param name="Lines">Lines without width.</param>
/// <param name="Dots">Dots.</param>
internal sealed record PreparedGroup(
    int Layer,
    DoseFactor DoseFactor,
    ContourSet Straight,
    ContourSet Curved,
    ImmutableArray<Shape> CurvedShapes,
    ImmutableArray<ImmutableArray<GridPoint>> Lines,
    ImmutableArray<GridPoint> Dots);
