using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>
/// Places arrays on the grid. An array whose step is a whole number of grid steps stays an array. Where rounding the step
/// would add up to more than half a grid step at the far end, that direction is written out, each placement rounded by itself.
/// </summary>
internal static class ArrayPlacement
{
    private const int MostWrittenOut = 1_000_000;

    /// <summary>Origins and repetitions that together place the whole array.</summary>
    /// <param name="insert">The array.</param>
    /// <param name="origin">First placement, in grid steps.</param>
    /// <param name="stepsPerUnit">Grid steps to one drawing unit in the placing cell.</param>
    /// <param name="file">File name for messages.</param>
    public static IEnumerable<(GridPoint Origin, Repetition Repetition)> Place(
        InsertEntity insert, PlanePoint origin, double stepsPerUnit, string file)
    {
        PlanePoint column = insert.Columns > 1 ? stepsPerUnit * insert.ColumnStep : default;
        PlanePoint row = insert.Rows > 1 ? stepsPerUnit * insert.RowStep : default;
        PlanePoint far = origin + ((insert.Columns - 1.0) * column) + ((insert.Rows - 1.0) * row);
        if (!origin.FitsGrid || !far.FitsGrid || !column.FitsGrid || !row.FitsGrid)
        {
            throw new CompileException(DxfCodes.OutOfRange, $"places block {insert.Block} beyond the range of the grid",
                insert.Origin.Place(file), "check the drawing unit, the position and the array's spacing");
        }

        int columnsOut = StaysExact(column, insert.Columns) ? 1 : insert.Columns;
        int rowsOut = StaysExact(row, insert.Rows) ? 1 : insert.Rows;
        if ((long)columnsOut * rowsOut > MostWrittenOut)
        {
            throw new CompileException(DxfCodes.BadEntity,
                $"an array of {insert.Columns} × {insert.Rows} has a spacing that is not a whole number of grid steps and is too large to place one by one",
                insert.Origin.Place(file), "use a spacing on the grid, or nest smaller arrays");
        }

        return WriteOut();

        IEnumerable<(GridPoint, Repetition)> WriteOut()
        {
            var repetition = new Repetition(
                columnsOut > 1 ? 1 : insert.Columns,
                rowsOut > 1 ? 1 : insert.Rows,
                columnsOut > 1 ? default : column.ToGrid(),
                rowsOut > 1 ? default : row.ToGrid());
            for (int j = 0; j < rowsOut; j++)
            {
                for (int i = 0; i < columnsOut; i++)
                {
                    yield return ((origin + (i * column) + (j * row)).ToGrid(), repetition);
                }
            }
        }
    }

    private static bool StaysExact(PlanePoint step, int count)
    {
        PlanePoint error = PlanePoint.From(step.ToGrid()) - step;
        return (count - 1) * Math.Max(Math.Abs(error.X), Math.Abs(error.Y)) <= 0.5;
    }
}
