using System.Globalization;
using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Calibration.DoseToSize;
using PatternCompiler.Calibration.Field;
using PatternCompiler.Calibration.Mains;
using PatternCompiler.Calibration.StageFrame;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Calibration;

/// <summary>How much a table of measurements may hold: the most that is read, and one more, which is refused.</summary>
public sealed class TableLimitsTests
{
    private const string Views = "view, drawn x [nm], drawn y [nm], seen x [nm], seen y [nm]";

    [Fact]
    public void As_many_marks_as_are_told_are_read() => AssertMost(
        10_000, "the table has 10001 marks, more than 10000", count => MarkTable.Of(Rows("mark, wanted x [nm], wanted y [nm], found x [nm], found y [nm]", count, i => $"m{i},{i},{-i},{i + 3},{5 - i}", "mark"), null).Count);

    [Fact]
    public void As_many_views_of_marks_as_are_told_are_read() => AssertMost(
        20_000, "the table has 20001 lines, more than 20000", count => FieldViews.Of(Rows(Views, count, i => $"v{i % 2},{i / 2},7,{i % 100},3", "view"), 1e6).Marks.Length);

    [Fact]
    public void As_many_readings_of_the_stage_as_are_told_are_read() => AssertMost(
        1000, "the table has 1001 readings, more than 1000", count => StageReadings.Of(Rows("mark, reading x [um], reading y [um], place x [nm], place y [nm]", count, i => $"m{i},{i},{-i},{i + 3},{5 - i}", [.. StageReadings.WordColumns])).Count);

    [Fact]
    public void As_many_lines_as_are_told_are_told_apart() => AssertMost(
        200, "the column 'line' tells 201 lines apart, more than 200", count => HumRows.Of(Rows("line, time [ms], y [nm]", 3 * count, i => $"{i / 3},{i},{i % 7}"), null).Lines);

    [Theory]
    [InlineData("1", "", 1)]
    [InlineData("1000", "301", 1000)]
    [InlineData("1001", "301", 0)]
    [InlineData("0", "301", 0)]
    [InlineData("2", "300", 0)]
    [InlineData("2", "300.001", 2)]
    public void Bars_are_counted_and_lie_apart(string bars, string pitch, int expected)
    {
        MeasurementTable table = Rows("feature, drawn [nm], dose [uC/cm2], measured [nm], bars, pitch [nm]", 1, _ => $"bar,300,500,310,{bars},{pitch}", [.. DoseReadings.WordColumns]);
        int found = 0;
        Exception? fault = Record.Exception(() => found = DoseReadings.Of(table, [500], ResistTone.Positive)[0].Feature.Bars);
        Assert.Equal((expected == 0, expected), (fault is CompileException, found));
    }

    /// <summary>A view reaches half a field beyond the field, along either axis and to either side.</summary>
    [Theory]
    [InlineData("1500,0", true)]
    [InlineData("0,1500", true)]
    [InlineData("-1500,0", true)]
    [InlineData("0,-1500", true)]
    [InlineData("1501,0", false)]
    [InlineData("0,1501", false)]
    [InlineData("-1501,0", false)]
    [InlineData("0,-1501", false)]
    public void Marks_are_seen_in_the_field_or_a_little_beside_it(string seen, bool isTaken)
    {
        MeasurementTable table = Rows(Views, 2, i => $"v{i},5,7,{seen}", "view");
        Assert.Equal(isTaken ? null : "the mark is seen beyond the field of 2 um", (Record.Exception(() => FieldViews.Of(table, 1000)) as CompileException)?.Diagnostic.Message);
    }

    /// <summary>Places of a field's marks are read in order; a line with a gap in any of them is told.</summary>
    [Fact]
    public void Marks_of_a_field_have_all_four_coordinates()
    {
        const string Header = "commanded x [nm], commanded y [nm], measured x [nm], measured y [nm], mark";
        Assert.Equal([new FieldMark(1, 2, 3, 4), new FieldMark(5, 6, 7, 8)], FieldMark.Of(Rows(Header, 2, i => $"{4 * i + 1},{4 * i + 2},{4 * i + 3},{4 * i + 4},m", "mark")));
        foreach (string gap in (string[])[",2,3,4", "1,,3,4", "1,2,,4", "1,2,3,"])
        {
            Diagnostic fault = Assert.Throws<CompileException>(() => FieldMark.Of(Rows(Header, 3, i => $"{(i == 1 ? gap : "9,9,9,9")},m", "mark"))).Diagnostic;
            Assert.Equal(("a place is left empty", 1), (fault.Message, fault.Measurement));
        }
    }

    private static void AssertMost(int most, string message, Func<int, int> read)
    {
        Assert.Equal(most, read(most));
        Assert.Equal(message, Assert.Throws<CompileException>(() => read(most + 1)).Diagnostic.Message);
    }

    private static MeasurementTable Rows(string header, int count, Func<int, FormattableString> row, params string[] words)
    {
        var text = new StringBuilder(header).Append('\n');
        for (int i = 0; i < count; i++)
        {
            text.Append(row(i).ToString(CultureInfo.InvariantCulture)).Append('\n');
        }

        return MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text.ToString())), "t", words);
    }
}
