using System.Collections.Immutable;
using CsCheck;
using PatternCompiler.Reports;

namespace PatternCompiler.Tests.Reports;

/// <summary>How the predicted prints of a batch are laid beside each other.</summary>
public sealed class PrintMatrixTests
{
    [Fact]
    public void Two_settings_make_rows_and_columns_in_the_order_of_numbers()
    {
        PrintMatrix matrix = Of([[10, 2], [9, 2], [10, 1], [9, 1], [8, 1], [8, 2]]);
        Assert.Equal((0, 1, 0), (matrix.Down, matrix.Across, matrix.Omitted));
        Assert.Equal(["8 nm", "9 nm", "10 nm"], matrix.Rows.Select(row => row.Text));
        Assert.Equal(["1 nm", "2 nm"], matrix.Columns.Select(column => column.Text));
        Assert.Equal([4, 5, 3, 1, 2, 0], matrix.Cells.Select(cell => Assert.Single(cell)));
    }

    [Fact]
    public void A_missing_combination_is_a_hole_and_a_double_one_is_together()
    {
        PrintMatrix matrix = Of([[1, 1], [1, 2], [2, 1], [2, 1]]);
        Assert.Equal(["0", "1", "2 3", ""], matrix.Cells.Select(cell => string.Join(' ', cell)));
    }

    /// <summary>A series of one setting about a middle, then one of another: a cross, still worth a matrix.</summary>
    [Fact]
    public void A_cross_is_a_matrix_and_unrelated_jobs_are_a_row()
    {
        Assert.Equal(1, Of([[1, 5], [2, 5], [3, 5], [2, 4], [2, 6]]).Across);
        PrintMatrix row = Of([[1, 5], [2, 6], [3, 7], [4, 8]]);
        Assert.Equal((0, -1), (row.Down, row.Across));
        Assert.Equal([0, 1, 2, 3], row.Cells.Select(cell => Assert.Single(cell)));
    }

    [Fact]
    public void Without_a_number_the_order_is_that_of_the_batch()
    {
        PrintMatrix matrix = Of([[], [], []]);
        Assert.Equal((-1, -1), (matrix.Down, matrix.Across));
        Assert.Equal([0, 1, 2], Assert.Single(matrix.Cells).AsEnumerable());
    }

    [Fact]
    public void Of_many_values_the_first_the_last_and_some_between_are_shown()
    {
        PrintMatrix matrix = Of([.. from a in Enumerable.Range(0, 50) from b in Enumerable.Range(0, 20) select new double[] { a, b }]);
        Assert.Equal((PrintMatrix.MostValues, PrintMatrix.MostValues), (matrix.Rows.Length, matrix.Columns.Length));
        Assert.Equal((0, 49, 0, 19), (matrix.Rows[0].Number, matrix.Rows[^1].Number, matrix.Columns[0].Number, matrix.Columns[^1].Number));
        Assert.Equal(1000 - 64, matrix.Omitted);
    }

    /// <summary>Any batch: no job twice, never too many, and shown and omitted ones are all.</summary>
    [Fact]
    public void The_page_is_bounded_and_nothing_is_lost_unsaid() =>
        Gen.Select(Gen.Int[0, 3], Gen.Int[0, 12].Array[3].Array[1, 120]).Sample((axes, table) =>
        {
            double[][] values = [.. table.Select(row => row.Take(axes).Select(value => (double)value).ToArray())];
            PrintMatrix matrix = Of(values);
            int[] shown = [.. matrix.Cells.SelectMany(cell => cell)];
            Assert.Equal(shown.Length, shown.Distinct().Count());
            Assert.True(shown.Length <= PrintMatrix.MostPrints);
            Assert.Equal(table.Length, shown.Length + matrix.Omitted);
            Assert.Equal(matrix.Rows.Length * matrix.Columns.Length, matrix.Cells.Length);
            for (int i = 0; i < matrix.Cells.Length; i++)
            {
                Assert.All(matrix.Cells[i], job =>
                {
                    Assert.True(matrix.Down < 0 || values[job][matrix.Down] == matrix.Rows[i / matrix.Columns.Length].Number);
                    Assert.True(matrix.Across < 0 || values[job][matrix.Across] == matrix.Columns[i % matrix.Columns.Length].Number);
                });
            }
        }, iter: Iterations.Usually(100));

    private static PrintMatrix Of(double[][] values) => PrintMatrix.Of(new IndexContent(
        "batch", "1", [.. values.Select((row, i) => new IndexRow($"job {i}", null, "built", null) { Values = [.. row.Select(value => new IndexValue(value, $"{value} nm"))] })])
    {
        Axes = [.. values[0].Select((_, axis) => new IndexAxis($"setting {axis}", []))],
    });
}
