using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Common;

/// <summary>
/// Places arrays on the grid. An array whose step is a whole number of grid steps stays an array. Where rounding the step
/// would add up to more than half a grid step at the far end, that direction is written out, each placement rounded by itself.
/// </summary>
/// <param name="Origin">First placement, in grid steps.</param>
/// <param name="Columns">Number of columns, 1 or more.</param>
/// <param name="Rows">Number of rows, 1 or more.</param>
/// <param name="ColumnStep">From column to column, in grid steps.</param>
/// <param name="RowStep">From row to row, in grid steps.</param>
internal readonly record struct ArraySteps(PlanePoint Origin, int Columns, int Rows, PlanePoint ColumnStep, PlanePoint RowStep)
{
    /// <summary>True if every placement lies on the grid.</summary>
    public bool FitsGrid => Origin.FitsGrid
        && (Origin + ((Columns - 1.0) * UsedColumnStep)).FitsGrid
        && (Origin + ((Rows - 1.0) * UsedRowStep)).FitsGrid
        && (Origin + ((Columns - 1.0) * UsedColumnStep) + ((Rows - 1.0) * UsedRowStep)).FitsGrid
        && UsedColumnStep.FitsGrid && UsedRowStep.FitsGrid;

    /// <summary>Number of placements that have to be written out one by one; 0 if the array stays an array.</summary>
    public long WrittenOut => (long)ColumnsOut * RowsOut is > 1 and var count ? count : 0;

    private PlanePoint UsedColumnStep => Columns > 1 ? ColumnStep : default;

    private PlanePoint UsedRowStep => Rows > 1 ? RowStep : default;

    private int ColumnsOut => StaysExact(UsedColumnStep, Columns) ? 1 : Columns;

    private int RowsOut => StaysExact(UsedRowStep, Rows) ? 1 : Rows;

    /// <summary>Origins and repetitions that together place the whole array, and which elements they are; it must fit the grid and not be too large.</summary>
    public IEnumerable<(GridPoint Origin, Repetition Repetition, ArrayElement Element)> Placements()
    {
        int columnsOut = ColumnsOut;
        int rowsOut = RowsOut;
        var repetition = new Repetition(
            columnsOut > 1 ? 1 : Columns,
            rowsOut > 1 ? 1 : Rows,
            columnsOut > 1 ? default : UsedColumnStep.ToGrid(),
            rowsOut > 1 ? default : UsedRowStep.ToGrid());
        for (int j = 0; j < rowsOut; j++)
        {
            for (int i = 0; i < columnsOut; i++)
            {
                yield return ((Origin + (i * ColumnStep) + (j * RowStep)).ToGrid(), repetition, new(columnsOut > 1 ? i + 1 : 0, rowsOut > 1 ? j + 1 : 0));
            }
        }
    }

    private static bool StaysExact(PlanePoint step, int count)
    {
        PlanePoint error = PlanePoint.From(step.ToGrid()) - step;
        return (count - 1) * Math.Max(Math.Abs(error.X), Math.Abs(error.Y)) <= 0.5;
    }
}
