using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Diagnostics;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Calibration;

public class MeasurementTableTests
{
    private static readonly Unit DoseUnit = new("uC/cm2", Dimension.AreaDose, -2);

    [Fact]
    public void Columns_are_found_by_name_and_converted()
    {
        MeasurementTable table = Read("# test of 3 March\n\nthickness [um], dose [C/m2], comment\n0.3, 1.5, 0\n0.1,2,1\n");
        Assert.Equal(2, table.Count);
        Assert.Equal([300, 100], table.Column("Thickness", Unit.Nanometre));
        Assert.Equal([150, 200], table.PositiveColumn("dose", DoseUnit));
    }

    [Theory]
    [InlineData("", "t.csv: error PC4001: the table is empty; write a header such as 'dose [uC/cm2], thickness [nm]' and a line of numbers per measurement")]
    [InlineData("dose [uC/cm2]\n", "t.csv:1: error PC4001: the table has a header but no measurements; write a header such as 'dose [uC/cm2], thickness [nm]' and a line of numbers per measurement")]
    [InlineData("1, 2\n3, 4\n", "t.csv:1: error PC4001: column 1 of the header is '1', which is no name; the first line names the columns, such as 'dose [uC/cm2], thickness [nm]'")]
    [InlineData("a, -2\n3, 4\n", "t.csv:1: error PC4001: column 2 of the header is '-2', which is no name; the first line names the columns, such as 'dose [uC/cm2], thickness [nm]'")]
    [InlineData("a, +2\n3, 4\n", "t.csv:1: error PC4001: column 2 of the header is '+2', which is no name; the first line names the columns, such as 'dose [uC/cm2], thickness [nm]'")]
    [InlineData("a, .5\n3, 4\n", "t.csv:1: error PC4001: column 2 of the header is '.5', which is no name; the first line names the columns, such as 'dose [uC/cm2], thickness [nm]'")]
    [InlineData("dose, dose\n1, 2\n", "t.csv:1: error PC4001: two columns are named 'dose'; rename one of them")]
    [InlineData("dose, radius\n1\n", "t.csv:2: error PC4001: the line has 1 values, but the header names 2 columns; separate values by commas; decimals take a point")]
    [InlineData("dose, radius\n1, 2a\n", "t.csv:2:3: error PC4001: '2a' in column 'radius' is not a number; write a plain number, such as 12.5 or 3e-2")]
    [InlineData("dose, radius\n1,\n", "t.csv:2:3: error PC4001: '' in column 'radius' is not a number; write a plain number, such as 12.5 or 3e-2")]
    [InlineData("dose, radius\n1, NaN\n", "t.csv:2:3: error PC4001: 'NaN' in column 'radius' is not a number; write a plain number, such as 12.5 or 3e-2")]
    [InlineData("dose, radius\n1, 1e308\n", "t.csv:2:3: error PC4001: '1e308' in column 'radius' is beyond anything measured; correct the line, or put # in front of it")]
    [InlineData("dose, radius\n-1e-300, 1\n", "t.csv:2:1: error PC4001: '-1e-300' in column 'dose' is beyond anything measured; correct the line, or put # in front of it")]
    public void A_malformed_table_is_refused_with_its_place(string text, string expected) =>
        Assert.Equal(expected, Assert.Throws<CompileException>(() => Read(text)).Message);

    [Theory]
    [InlineData("doses [uC/cm2]\n1\n", "t.csv:1: error PC4001: there is no column 'dose', only doses; is 'doses' meant? name it 'dose [uC/cm2]'")]
    [InlineData("dose [nm]\n1\n", "t.csv:1: error PC4001: the column 'dose' needs an area dose as its unit; name it 'dose [uC/cm2]'")]
    [InlineData("dose [uC/cm2]\n1\n0\n", "t.csv:3: error PC4005: dose must be above zero, but it is 0 uC/cm2; correct the line, or put # in front of it")]
    public void A_column_that_cannot_serve_is_refused(string text, string expected) =>
        Assert.Equal(expected, Assert.Throws<CompileException>(() => Read(text).PositiveColumn("dose", DoseUnit)).Message);

    /// <summary>10^30 and its inverse are measured, more and less are not, whatever their sign.</summary>
    [Fact]
    public void Numbers_reach_as_far_as_a_quantity_does()
    {
        foreach (string sign in (string[])["", "-"])
        {
            foreach (double last in (double[])[1e30, 1 / 1e30])
            {
                Assert.Equal(1, Read(FormattableString.Invariant($"dose\n{sign}{last:R}\n")).Count);
                double beyond = last > 1 ? Math.BitIncrement(last) : Math.BitDecrement(last);
                Assert.Contains("is beyond anything measured", Assert.Throws<CompileException>(() => Read(FormattableString.Invariant($"dose\n{sign}{beyond:R}\n"))).Message, StringComparison.Ordinal);
            }
        }
    }

    [Fact]
    public void Lines_and_tables_have_a_longest()
    {
        Assert.Equal(1, Read("dose\n" + "1".PadRight(10_000) + "\n").Count);
        Assert.Equal(
            "t.csv:2: error PC4001: the line is longer than 10000 characters; this does not look like a measurement table",
            Assert.Throws<CompileException>(() => Read("dose\n" + "1".PadRight(10_001) + "\n")).Message);
        Assert.Equal(
            "t.csv:1000002: error PC4001: the table has more than 1000000 measurements; fit a part of it",
            Assert.Throws<CompileException>(() => Read("dose\n" + string.Concat(Enumerable.Repeat("1\n", 1_000_001)))).Message);
    }

    [Fact]
    public void A_line_too_long_is_named() => Assert.StartsWith(
        "t.csv:3: error PC4001: the line is longer than ", Assert.Throws<CompileException>(() => Read("# note\ndose\n" + new string('1', 100_000) + "\n")).Message, StringComparison.Ordinal);

    /// <summary>Rows of one kind, with their own lines in messages; a table without the column is of one kind.</summary>
    [Fact]
    public void Rows_of_a_word_are_taken_out_of_a_table()
    {
        MeasurementTable table = MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes("# note\nfeature, note, dose\nsquare, p, 1\nbar, q, 2\nSquare, r, 0\n")), "t.csv", "feature", "note");
        MeasurementTable squares = table.Only("Feature", "square");
        Assert.Equal(([1, 0], ["square", "Square"], ["p", "r"]), (squares.Column("dose", Unit.One), squares.Words("feature"), squares.Words("note")), (a, b) => a.Item1.SequenceEqual(b.Item1) && a.Item2!.SequenceEqual(b.Item2!) && a.Item3!.SequenceEqual(b.Item3!));
        Assert.StartsWith("t.csv:5", Assert.Throws<CompileException>(() => squares.PositiveColumn("dose", Unit.One)).Message, StringComparison.Ordinal);
        Assert.Same(table, table.Only("kind", "square"));
        Assert.StartsWith("t.csv:2: error PC4001: no line has 'gap' in the column 'feature'; ", Assert.Throws<CompileException>(() => table.Only("feature", "gap")).Message, StringComparison.Ordinal);
    }

    private static MeasurementTable Read(string text) => MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "t.csv");
}
