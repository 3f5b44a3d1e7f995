using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Passes.Flatten;

/// <summary>
/// The placements of a cell without those that repeat another one on the same place, at the same dose: a copy on top of a copy
/// adds nothing to an area, and would write dots twice.
/// </summary>
/// <param name="Instances">What is left, each copy on a place of its own as far as single placements and single arrays go.</param>
/// <param name="Repeated">How many copies are left out; can be larger than any whole number.</param>
/// <param name="First">The first placement of which copies are left out.</param>
internal sealed record DistinctPlacements(ImmutableArray<Instance> Instances, double Repeated, Instance? First)
{
    /// <summary>Finds them.</summary>
    public static DistinctPlacements Of(Cell cell)
    {
        if (cell.Instances.Length == 0 || (cell.Instances.Length == 1 && IsPlain(cell.Instances[0].Repetition)))
        {
            return new(cell.Instances, 0, null);
        }

        var kept = ImmutableArray.CreateBuilder<Instance>(cell.Instances.Length);
        var seen = new HashSet<Instance>(cell.Instances.Length);
        double repeated = 0;
        Instance? first = null;
        foreach (Instance instance in cell.Instances)
        {
            Repetition simple = WithoutStandingSteps(instance.Repetition);
            Instance distinct = simple == instance.Repetition ? instance : instance with { Repetition = simple };
            double lost = Copies(instance.Repetition) - (seen.Add(distinct) ? Copies(simple) : 0);
            if (lost < Copies(instance.Repetition))
            {
                kept.Add(distinct);
            }

            first ??= lost > 0 ? instance : null;
            repeated += lost;
        }

        return new(repeated == 0 ? cell.Instances : kept.DrainToImmutable(), repeated, first);
    }

    private static bool IsPlain(Repetition repetition) => WithoutStandingSteps(repetition) == repetition;

    private static double Copies(Repetition repetition) => (double)repetition.Columns * repetition.Rows;

    /// <summary>An array whose columns or rows all lie on each other has one; steps of the dose keep them apart.</summary>
    private static Repetition WithoutStandingSteps(Repetition repetition)
    {
        Repetition result = repetition;
        if (result.ColumnStep == default && result.ColumnDoseStepMillionths == 0)
        {
            result = result with { Columns = 1 };
        }

        if (result.RowStep == default && result.RowDoseStepMillionths == 0)
        {
            result = result with { Rows = 1 };
        }

        return AlongOneLine(result);
    }

    /// <summary>
    /// Columns and rows along one line fall on each other, unless one of them outreaches the other. Where the longer step is
    /// a multiple of the shorter one and within reach, one row holds them all.
    /// </summary>
    private static Repetition AlongOneLine(Repetition r)
    {
        if (r.Columns == 1 || r.Rows == 1 || r.ColumnDoseStepMillionths != 0 || r.RowDoseStepMillionths != 0)
        {
            return r;
        }

        if (Multiple(r.RowStep, r.ColumnStep) is long rows and > 0 && rows <= r.Columns)
        {
            long columns = r.Columns + (rows * (r.Rows - 1));
            return columns <= int.MaxValue ? r with { Columns = (int)columns, Rows = 1 } : r;
        }

        if (Multiple(r.ColumnStep, r.RowStep) is long times and > 0 && times <= r.Rows)
        {
            long count = r.Rows + (times * (r.Columns - 1));
            return count <= int.MaxValue ? r with { Rows = (int)count, Columns = 1 } : r;
        }

        return r;
    }

    /// <summary>How often a vector goes into another one, 0 unless exactly.</summary>
    private static long Multiple(GridPoint longer, GridPoint shorter)
    {
        long times = shorter.X != 0 ? longer.X / shorter.X : longer.Y / shorter.Y;
        return times > 0 && times * shorter.X == longer.X && times * shorter.Y == longer.Y ? times : 0;
    }
}
