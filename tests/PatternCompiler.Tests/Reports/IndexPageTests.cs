using System.Text;
using System.Text.RegularExpressions;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Prediction;
using PatternCompiler.Reports;
using PatternCompiler.Reports.Html;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Reports;

/// <summary>The index of a batch as it is without scripts, and the keys that its script sorts by.</summary>
public sealed partial class IndexPageTests
{
    private static readonly PredictedPrint Sound = new(new SampleWindow(0, 0, 5000, 4000), -1.5, 12.25, 40, 0, 0, "", [1, 2, 3]);

    private static IndexContent Content => new("dose & pitch", "1.2.3",
    [
        new IndexRow("b <10>", "b.html", "built", null)
        {
            WriteSeconds = 75.5, ChargeCoulombs = 4.8e-11, Records = 12345, Warnings = 2, HasNewBytes = true,
            Values = [new IndexValue(2.8, "280 µC/cm²"), new IndexValue(1e-8, "10 nm")], OtherWords = ["contour"], Print = Sound,
        },
        new IndexRow("a", "a.html", "up to date", null)
        {
            WriteSeconds = 9, Warnings = 0, HasNewBytes = false,
            Values = [new IndexValue(2.4, "240 µC/cm²"), new IndexValue(1e-8, "10 nm")], OtherWords = ["lines"], Print = Sound with { Faults = 2, FaultWords = "2 shorts" },
        },
        new IndexRow("c", null, "failed", new Diagnostic(CommandCodes.WrongUsage, Severity.Error, "no <such> file", new SourcePlace("c.yaml")))
        {
            Values = [new IndexValue(2.8, "280 µC/cm²"), new IndexValue(2e-8, "20 nm")], OtherWords = ["lines"],
        },
    ])
    {
        Axes = [new IndexAxis("dose", ["line dose"]), new IndexAxis("line pitch", [])],
        Others = ["strategy"],
    };

    [Fact]
    public void Rows_stand_in_the_order_of_the_batch_with_all_that_is_known()
    {
        string page = PageOf(Content);
        Assert.Equal(["b &lt;10&gt;", "a", "c"], RowHead().Matches(page).Select(match => match.Groups[1].Value));
        Assert.Contains("<td class=\"number\" data-value=\"75.5\">1\u00A0min\u00A016\u00A0s</td>", page, StringComparison.Ordinal);
        Assert.Contains("<td class=\"number\" data-value=\"4.8E-11\">48\u00A0pC</td>", page, StringComparison.Ordinal);
        Assert.Contains("<td class=\"number\" data-value=\"12345\">12\u202F345</td>", page, StringComparison.Ordinal);
        Assert.Contains("<td class=\"number doubt-text\" data-value=\"2\">2</td>", page, StringComparison.Ordinal);
        Assert.Contains("no &lt;such&gt; file", page, StringComparison.Ordinal);
    }

    /// <summary>Every cell of a column of numbers has a number to sort by, or nothing; every row has as many cells as there are heads.</summary>
    [Fact]
    public void Every_cell_has_its_key()
    {
        string page = PageOf(Content);
        string table = page[page.IndexOf("id=\"job-table\"", StringComparison.Ordinal)..];
        table = table[..table.IndexOf("</table>", StringComparison.Ordinal)];
        int heads = Regex.Count(table, "scope=\"col\"");
        string[] rows = table[table.IndexOf("<tbody>", StringComparison.Ordinal)..].Split("<tr ")[1..];
        Assert.Equal(3, rows.Length);
        Assert.All(rows, row => Assert.Equal(heads, Regex.Count(row, " data-value=\"")));
        Assert.All(NumberCell().Matches(table), cell => Assert.True(cell.Groups[1].Value.Length == 0 || NumberText.TryParseReal(cell.Groups[1].Value, out _), cell.Value));
    }

    [Fact]
    public void Prints_stand_in_a_matrix_with_verdict_values_and_holes()
    {
        string page = PageOf(Content);
        Assert.Contains("<caption>Predicted prints: dose from top to bottom, line pitch from left to right</caption>", page, StringComparison.Ordinal);
        Assert.Contains("<b class=\"fits\">sound</b>", page, StringComparison.Ordinal);
        Assert.Contains("<b class=\"doubt-text\">2 shorts</b>", page, StringComparison.Ordinal);
        Assert.Contains("alt=\"Predicted print, dose 280 µC/cm², line pitch 10 nm, strategy contour\"", page, StringComparison.Ordinal);
        Assert.Contains("<p class=\"hole\">not in this batch</p>", page, StringComparison.Ordinal);
        Assert.Contains("<p class=\"hole\"><a href=\"#failures\">failed</a>", page, StringComparison.Ordinal);
        Assert.Contains("With dose changes: line dose.", page, StringComparison.Ordinal);
        Assert.Contains("Between the jobs varies besides: strategy.", page, StringComparison.Ordinal);
        Assert.Equal(page, PageOf(Content));
    }

    [Fact]
    public void Where_nothing_varies_or_is_predicted_the_page_says_so()
    {
        IndexContent plain = Content with { Axes = [], Others = [], Rows = [.. Content.Rows.Select(row => row with { Values = [], OtherWords = [] })] };
        Assert.Contains("No setting that is a number differs between the jobs", PageOf(plain), StringComparison.Ordinal);
        Assert.Contains("There is one job.", PageOf(plain with { Rows = [plain.Rows[0]] }), StringComparison.Ordinal);
        Assert.Contains("the process does not say how energy spreads", PageOf(plain with { Rows = [.. plain.Rows.Select(row => row with { Print = null })] }), StringComparison.Ordinal);
        Assert.Contains("No job was built", PageOf(plain with { Rows = [plain.Rows[2]] }), StringComparison.Ordinal);
    }

    /// <summary>Pictures are bounded together; what is left out is said, and its verdict stays.</summary>
    [Fact]
    public void A_page_of_large_pictures_stays_small()
    {
        IndexRow row = Content.Rows[0] with { Print = Sound with { Png = [.. new byte[100_000]] } };
        string page = PageOf(Content with { Rows = [.. Enumerable.Range(0, 40).Select(i => row with { Values = [new IndexValue(i, $"{i} nm")] })], Axes = [new IndexAxis("a", [])] });
        Assert.InRange(page.Length, 1_000_000, 2_000_000);
        Assert.Equal(14, page.Split("<img ").Length - 1);
        Assert.Equal(40, page.Split("<b class=\"fits\">sound</b>").Length - 1);
        Assert.Contains("26\u00A0pictures are left out, too; the verdicts are there.", page, StringComparison.Ordinal);
    }

    private static string PageOf(IndexContent content)
    {
        using var page = new MemoryStream();
        IndexPage.Write(content, page);
        return Encoding.UTF8.GetString(page.ToArray());
    }

    [GeneratedRegex("<th scope=\"row\" data-value=\"([^\"]*)\">")]
    private static partial Regex RowHead();

    [GeneratedRegex("<td class=\"number[^\"]*\" data-value=\"([^\"]*)\"")]
    private static partial Regex NumberCell();
}
