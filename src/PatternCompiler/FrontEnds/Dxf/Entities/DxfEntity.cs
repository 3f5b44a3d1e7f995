using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Dxf.Curves;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>An entity that can be exposed, in drawing units, seen from above.</summary>
internal abstract record DxfEntity(EntityOrigin Origin);

/// <summary>A filled circle.</summary>
internal sealed record CircleEntity(EntityOrigin Origin, PlanePoint Centre, double Radius) : DxfEntity(Origin);

/// <summary>A dot.</summary>
internal sealed record DotEntity(EntityOrigin Origin, PlanePoint Position) : DxfEntity(Origin);

/// <summary>A curve: an area if closed, else a piece of an outline; with a width, a track along the curve.</summary>
internal sealed record OutlineEntity(EntityOrigin Origin, DxfCurve Curve, double Width) : DxfEntity(Origin)
{
    /// <summary>True for a line that is no piece of an outline.</summary>
    public bool IsLine { get; init; }
}

/// <summary>A track whose width changes along its way.</summary>
/// <param name="Origin">Where it came from.</param>
/// <param name="Corners">Corners, two or more.</param>
/// <param name="Widths">Width at the start and at the end of the line or arc from each corner.</param>
/// <param name="IsClosed">True if the last corner is joined to the first.</param>
internal sealed record TaperedEntity(
    EntityOrigin Origin, BulgeVertex[] Corners, (double Start, double End)[] Widths, bool IsClosed) : DxfEntity(Origin);

/// <summary>An area bounded by loops, each of several curves.</summary>
/// <param name="Origin">Where it came from.</param>
/// <param name="Loops">The curves of each loop, in any order and direction.</param>
/// <param name="Rule">How the loops combine.</param>
internal sealed record RegionEntity(EntityOrigin Origin, DxfCurve[][] Loops, FillRule Rule) : DxfEntity(Origin);

/// <summary>Text drawn as single strokes.</summary>
/// <param name="Origin">Where it came from.</param>
/// <param name="Strokes">Polylines, in drawing units.</param>
internal sealed record LetteringEntity(EntityOrigin Origin, PlanePoint[][] Strokes) : DxfEntity(Origin);

/// <summary>A block placed once or in an array.</summary>
/// <param name="Origin">Where it came from.</param>
/// <param name="Block">Name of the block.</param>
/// <param name="Position">Where the block's base point lands.</param>
/// <param name="RotationDegrees">Counter-clockwise rotation, after the scale.</param>
/// <param name="ScaleX">Factor on x; negative mirrors.</param>
/// <param name="ScaleY">Factor on y; negative mirrors.</param>
/// <param name="Columns">Number of columns, 1 or more.</param>
/// <param name="Rows">Number of rows, 1 or more.</param>
/// <param name="ColumnStep">From column to column, already rotated.</param>
/// <param name="RowStep">From row to row, already rotated.</param>
internal sealed record InsertEntity(
    EntityOrigin Origin,
    string Block,
    PlanePoint Position,
    double RotationDegrees,
    double ScaleX,
    double ScaleY,
    int Columns,
    int Rows,
    PlanePoint ColumnStep,
    PlanePoint RowStep) : DxfEntity(Origin);

/// <summary>Where an entity came from, kept with it for messages.</summary>
/// <param name="Type">Entity type as the file names it.</param>
/// <param name="Layer">Layer name.</param>
/// <param name="Handle">Handle, 0 for none.</param>
/// <param name="Line">Line on which the entity starts; 0 in a binary file.</param>
internal readonly record struct EntityOrigin(string Type, string Layer, ulong Handle, int Line)
{
    /// <summary>The place for a message about this entity.</summary>
    public SourcePlace Place(string file) => new(file, Line, 0, ToString());

    /// <summary>For example "CIRCLE 2F on layer pads".</summary>
    public override string ToString() => Handle == 0
        ? $"{Type} on layer {Layer}"
        : $"{Type} {Handle.ToString("X", CultureInfo.InvariantCulture)} on layer {Layer}";
}
