using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Seams;

namespace PatternCompiler.Tests.Prediction.Seams;

public class StageErrorsTests
{
    [Fact]
    public void Random_errors_have_the_deviation_that_is_asked_for_and_depend_on_seed_and_field_alone()
    {
        StageErrors errors = StageErrors.Random(50, 7);
        Assert.Equal("random, 50 nm standard deviation in each direction, seed 7", errors.Description);
        (double X, double Y)[] all = [.. Enumerable.Range(0, 100).SelectMany(row => Enumerable.Range(0, 100).Select(column => errors.At(Field(row, column, default))))];

        // 10,000 draws: mean within 4 standard errors of 0.5 nm, deviation within 4 of 0.35 nm.
        foreach (double[] axis in new[] { all.Select(e => e.X).ToArray(), all.Select(e => e.Y).ToArray() })
        {
            double mean = axis.Average();
            Assert.InRange(mean, -2, 2);
            Assert.InRange(Math.Sqrt(axis.Average(value => (value - mean) * (value - mean))), 48.6, 51.4);
        }

        Assert.InRange(all.Average(e => e.X * e.Y) / 2500, -0.04, 0.04);
        Assert.Equal(errors.At(Field(3, 4, default)), StageErrors.Random(50, 7).At(Field(3, 4, default)));
        Assert.NotEqual(errors.At(Field(3, 4, default)), errors.At(Field(4, 3, default)));
        Assert.NotEqual(errors.At(Field(3, 4, default)), StageErrors.Random(50, 8).At(Field(3, 4, default)));
    }

    [Fact]
    public void A_table_names_fields_by_row_and_column()
    {
        StageErrors errors = StageErrors.Given([(1, 2, 30, -20)], "e.csv");
        Assert.Equal((30, -20), errors.At(Field(0, 1, default)));
        Assert.Equal((0, 0), errors.At(Field(1, 0, default)));
        CompileException twice = Assert.Throws<CompileException>(
            () => StageErrors.Given([(1, 2, 30, 20), (1, 2, 1, 1)], "e.csv"));
        Assert.Equal("e.csv: error PC4001: the field in row 1, column 2 is named twice; give each field one line", twice.Diagnostic.ToString());
    }

    [Fact]
    public void Seams_lie_where_cells_share_a_border()
    {
        // Two fields side by side, and one above both, moved by half a field.
        var plan = new FieldPlan(1000, 60_000, 60_000,
        [
            Field(0, 0, new GridBox(0, 0, 100_000, 100_000)), Field(0, 1, new GridBox(100_000, 0, 200_000, 100_000)), Field(1, 0, new GridBox(50_000, 100_000, 150_000, 200_000)),
        ]);
        Seam[] seams = [.. Seam.Of(plan)];
        Assert.Equal(
            [
                (true, new SampleWindow(99_000, 0, 101_000, 100_000)),
                (false, new SampleWindow(50_000, 99_000, 100_000, 101_000)),
                (false, new SampleWindow(100_000, 99_000, 150_000, 101_000)),
            ],
            seams.Select(seam => (seam.IsUpright, seam.Window)).ToArray());
    }

    private static WriteField Field(int row, int column, GridBox cell) => new(row, column, $"r{row + 1}c{column + 1}", default, cell);
}
