using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>Places the array of an INSERT on the grid.</summary>
internal static class ArrayPlacement
{
    /// <summary>Origins and repetitions that together place the whole array, and which elements they are.</summary>
    /// <param name="insert">The array.</param>
    /// <param name="origin">First placement, in grid steps.</param>
    /// <param name="stepsPerUnit">Grid steps to one drawing unit in the placing cell.</param>
    /// <param name="context">What is known of the drawing.</param>
    public static IEnumerable<(GridPoint Origin, Repetition Repetition, ArrayElement Element)> Place(
        InsertEntity insert, PlanePoint origin, double stepsPerUnit, LoweringContext context)
    {
        var steps = new ArraySteps(
            origin, insert.Columns, insert.Rows, stepsPerUnit * insert.ColumnStep, stepsPerUnit * insert.RowStep);
        if (!steps.FitsGrid)
        {
            throw new CompileException(DxfCodes.OutOfRange, $"places block {insert.Block} beyond the range of the grid",
                insert.Origin.Place(context.File), "check the drawing unit, the position and the array's spacing");
        }

        if (!context.Placements.TryTake(steps))
        {
            throw new CompileException(DxfCodes.BadEntity,
                context.Placements.Fault(insert.Columns, insert.Rows),
                insert.Origin.Place(context.File), "use a spacing on the grid, or nest smaller arrays");
        }

        return steps.Placements();
    }
}
