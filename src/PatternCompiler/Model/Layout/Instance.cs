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
    DoseFactor DoseFactor);
