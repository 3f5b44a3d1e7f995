using PatternCompiler.Geometry;

namespace PatternCompiler.Model.Layout;

/// <summary>A regular array of placements.</summary>
/// <param name="Columns">Placements along <paramref name="ColumnStep"/>, 1 or more.</param>
/// <param name="Rows">Placements along <paramref name="RowStep"/>, 1 or more.</param>
/// <param name="ColumnStep">From one column to the next, in grid steps.</param>
/// <param name="RowStep">From one row to the next, in grid steps.</param>
/// <param name="ColumnDoseStepMillionths">Added to the instance's dose factor per column, in millionths; for dose tests.</param>
/// <param name="RowDoseStepMillionths">Added to the instance's dose factor per row, in millionths.</param>
internal readonly record struct Repetition(
    int Columns,
    int Rows,
    GridPoint ColumnStep,
    GridPoint RowStep,
    int ColumnDoseStepMillionths = 0,
    int RowDoseStepMillionths = 0)
{
    /// <summary>A single placement.</summary>
    public static Repetition Once => new(1, 1, default, default);
}
