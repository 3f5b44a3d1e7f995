using PatternCompiler.Reports.Html;

namespace PatternCompiler.Tests.Reports;

public sealed class ReportTextTests
{
    [Theory]
    [InlineData("12 um", "12\u00A0µm")]
    [InlineData("300 uC/cm2", "300\u00A0µC/cm²")]
    [InlineData("2 min 05 s", "2\u00A0min\u00A005\u00A0s")]
    [InlineData("1.5 nC", "1.5\u00A0nC")]
    [InlineData("-10 V", "−10\u00A0V")]
    [InlineData("plain", "plain")]
    public void Units_are_set_as_print_sets_them(string plain, string expected) => Assert.Equal(expected, ReportText.Typeset(plain));

    [Fact]
    public void Numbers_stay_with_their_units_and_signs()
    {
        Assert.Equal("−17.8\u00A0nm", ReportText.Signed(-17.81));
        Assert.Equal("+2.5\u00A0µm", ReportText.Signed(2500));
        Assert.Equal("0\u00A0nm", ReportText.Signed(0));
        Assert.Equal("0.44\u00A0nm", ReportText.Nanometres(0.4405, 2));
        Assert.Equal("15\u202F143\u202F006\u00A0points", ReportText.Count(15_143_006, "point", "points"));
        Assert.Equal("1\u00A0point", ReportText.Count(1, "point", "points"));
        Assert.Equal("1.5\u00A0%", ReportText.Percent(0.015));
        Assert.Equal("15\u202F143\u202F006\u00A0points · 94\u00A0× 94\u00A0µm", ReportText.Unbroken("15 143 006 points · 94 × 94 µm"));
    }

    [Fact]
    public void Nothing_that_a_user_writes_becomes_markup()
    {
        string page = new HtmlBuilder().Open("p", ("title", "a\"<b>")).Text("<script>&\u0001").Close().ToDocument();
        Assert.Equal("<!DOCTYPE html>\n<p title=\"a&quot;&lt;b&gt;\">&lt;script&gt;&amp;\\u{1}</p>\n", page);
        Assert.Throws<InvalidOperationException>(() => new HtmlBuilder().Open("p").ToDocument());
    }
    [Theory]
    [InlineData("out/night-run.stream", "out/|night-|run.|stream")]
    [InlineData("chip-r01c02_a.v2", "chip-|r01c02_|a.|v2")]
    [InlineData("3.1082 ms, -4 um, 2026-11-30", "3.1082 ms, -4 um, 2026-11-30")]
    [InlineData("ends in /", "ends in /")]
    [InlineData("/a<b", "/|a&lt;b")]
    [InlineData("", "")]
    public void Names_break_behind_their_marks_and_numbers_do_not(string name, string expected)
    {
        string page = new HtmlBuilder().Open("p").Name(name).Close().ToDocument();
        Assert.Equal($"<!DOCTYPE html>\n<p>{expected.Replace("|", "<wbr>", StringComparison.Ordinal)}</p>\n", page);
    }
}
