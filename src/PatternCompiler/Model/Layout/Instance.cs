using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Units;

namespace PatternCompiler.Model.Layout;

/// <summary>
/// A cell placed once or in a regular array. A point p of the cell lands at
/// <c>Origin + i·ColumnStep + j·RowStep + Rotate(Scale(p))</c> for column i and row j: scale first (a negative scale
/// mirrors), then rotate counter-clockwise, then move. The array steps are not rotated.
/// </summary>
/// <param name="CellName">Name of the placed cell.</param>
/// <param name="Origin">Where the cell's own origin lands.</param>
/// <param name="Orientation">Scale and rotation.</param>
/// <param name="Repetition">Columns and rows of the array; <see cref="Repetition.Once"/> for a single placement.</param>
/// <param name="DoseFactor">Multiplies the dose factor of everything inside.</param>
internal sealed record Instance(
    string CellName,
    GridPoint Origin,
    Orientation Orientation,
    Repetition Repetition,
    DoseFactor DoseFactor)
{
    /// <summary>Where it was drawn, for <see cref="LayoutDocument.Places"/>.</summary>
    public PlaceId Place { get; init; }

    /// <summary>Which element of its array in the drawing it is, where that is written out one by one.</summary>
    public ArrayElement Element { get; init; }

    /// <summary>True if the other places the same, wherever that was drawn.</summary>
    public bool Equals(Instance? other) =>
        other is not null && CellName == other.CellName && Origin == other.Origin && Orientation == other.Orientation
        && Repetition == other.Repetition && DoseFactor == other.DoseFactor;

    /// <inheritdoc/>
    public override int GetHashCode() => HashCode.Combine(CellName, Origin, Orientation, Repetition, DoseFactor);
}

/// <summary>An element of an array, in the directions in which the array is written out element by element.</summary>
/// <param name="Column">From 1; 0 where columns are not written out.</param>
/// <param name="Row">From 1; 0 where rows are not written out.</param>
internal readonly record struct ArrayElement(int Column, int Row);

/// <summary>Scale (a negative factor mirrors that axis), then counter-clockwise rotation.</summary>
/// <param name="RotationDegrees">Counter-clockwise angle in degrees; whole quarter turns are exact.</param>
/// <param name="ScaleX">Factor on x before the rotation, not zero.</param>
/// <param name="ScaleY">Factor on y before the rotation, not zero.</param>
internal readonly record struct Orientation(double RotationDegrees, double ScaleX, double ScaleY)
{
    /// <summary>As drawn.</summary>
    public static Orientation Identity => new(0, 1, 1);
}
