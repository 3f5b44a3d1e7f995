using System.Collections.Immutable;

namespace PatternCompiler.Reports;

/// <summary>
/// How the predicted prints of a batch are laid beside each other: by the two settings that vary most, by one, or in the order of the batch.
/// </summary>
/// <param name="Down">Number of the setting whose value changes from row to row; -1 for none.</param>
/// <param name="Across">Number of the setting whose value changes from column to column; -1 for none.</param>
/// <param name="Rows">Values from top to bottom; one, empty, without a setting.</param>
/// <param name="Columns">Values from left to right; one, empty, without a setting.</param>
/// <param name="Cells">Row by row, the jobs of each combination in the order of the batch; none where there is no such job.</param>
/// <param name="Omitted">Number of jobs that are not shown, to bound the page.</param>
internal sealed record PrintMatrix(
    int Down, int Across, ImmutableArray<IndexValue> Rows, ImmutableArray<IndexValue> Columns, ImmutableArray<ImmutableArray<int>> Cells, int Omitted)
{
    /// <summary>Most jobs side by side.</summary>
    public const int MostPrints = 64;

    /// <summary>Most values of a setting beside each other; of more, as many are chosen evenly, the first and the last among them.</summary>
    public const int MostValues = 8;

    private const int MostInCell = 4;

    /// <summary>Chooses the layout.</summary>
    public static PrintMatrix Of(IndexContent content)
    {
        int[] known = [.. Enumerable.Range(0, content.Rows.Length).Where(i => content.Axes.IsEmpty || content.Rows[i].Values.Length == content.Axes.Length)];
        (int down, int across) = ChooseAxes(content, known);
        ImmutableArray<IndexValue> rows = ValuesOf(content, known, down, across < 0 ? MostPrints : MostValues);
        ImmutableArray<IndexValue> columns = ValuesOf(content, known, across, MostValues);
        int most = down < 0 ? MostPrints : Math.Clamp(MostPrints / (rows.Length * columns.Length), 1, MostInCell);
        var cells = ImmutableArray.CreateBuilder<ImmutableArray<int>>(rows.Length * columns.Length);
        int shown = 0;
        ILookup<(double, double), int> byValues = known.ToLookup(i => (NumberOf(content.Rows[i], down), NumberOf(content.Rows[i], across)));
        foreach (IndexValue row in rows)
        {
            foreach (IndexValue column in columns)
            {
                ImmutableArray<int> cell = [.. byValues[(row.Number, column.Number)].Take(most)];
                cells.Add(cell);
                shown += cell.Length;
            }
        }

        return new PrintMatrix(down, across, rows, columns, cells.ToImmutable(), known.Length - shown);
    }

    /// <summary>
    /// The first two settings of which enough combinations are there for rows and columns to be compared: as many as a cross through all
    /// values has, or more. Of unrelated jobs every value has a job of its own: those stand in one row.
    /// </summary>
    private static (int Down, int Across) ChooseAxes(IndexContent content, int[] known)
    {
        // Settings are in the order of how many values they have; few vary in a batch, and of very many the first ones decide.
        const int MostTried = 12;
        int count = Math.Min(content.Axes.Length, MostTried);
        for (int first = 0; first < count; first++)
        {
            for (int second = first + 1; second < count; second++)
            {
                int there = known.Select(i => (NumberOf(content.Rows[i], first), NumberOf(content.Rows[i], second))).Distinct().Count();
                int values = known.Select(i => NumberOf(content.Rows[i], first)).Distinct().Count() + known.Select(i => NumberOf(content.Rows[i], second)).Distinct().Count();
                if (there >= values - 1)
                {
                    return (first, second);
                }
            }
        }

        return (count > 0 ? 0 : -1, -1);
    }

    private static ImmutableArray<IndexValue> ValuesOf(IndexContent content, int[] known, int axis, int most)
    {
        if (axis < 0)
        {
            return [default];
        }

        IndexValue[] all = [.. known.Select(i => content.Rows[i].Values[axis]).DistinctBy(value => value.Number).OrderBy(value => value.Number)];
        return all.Length <= most ? [.. all] : [.. Enumerable.Range(0, most).Select(i => all[(int)((long)i * (all.Length - 1) / (most - 1))])];
    }

    private static double NumberOf(IndexRow row, int axis) => axis < 0 ? 0 : row.Values[axis].Number;
}
