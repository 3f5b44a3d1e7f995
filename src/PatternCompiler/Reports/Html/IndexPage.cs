using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Units;

namespace PatternCompiler.Reports.Html;

/// <summary>The index of a batch: one HTML file beside the reports of its jobs.</summary>
internal static class IndexPage
{
    /// <summary>Writes the page to a stream, which stays open.</summary>
    public static void Write(IndexContent content, Stream output)
    {
        var html = new HtmlBuilder();
        PageFrame.Begin(html, $"{content.Name}: exposure reports", isWide: true);
        AddHeader(html, content);
        html.Open("main");
        AddFailures(html, content);
        html.Element("h2", "Jobs", ("id", "jobs"));
        IndexTable.Add(html, content);
        PrintsSection.Add(html, content);
        CautionsSection.Add(html);
        html.Close();
        html.Script(IndexScript.Text);
        PageFrame.End(html, content.ToolVersion);
        output.Write(Encoding.UTF8.GetBytes(html.ToDocument()));
    }

    private static void AddHeader(HtmlBuilder html, IndexContent content)
    {
        html.Open("header");
        html.Element("p", "Exposure reports", ("class", "kind"));
        html.Element("h1", content.Name);
        html.Open("dl", ("class", "facts"));
        Fact("Jobs", ReportText.Count(content.Rows.Length));
        foreach (IGrouping<string, IndexRow> status in content.Rows.GroupBy(row => row.Status))
        {
            Fact(Capital(status.Key), ReportText.Count(status.Count()));
        }

        Fact("Write time of all", ReportText.Of(content.Rows.Sum(row => row.WriteSeconds ?? 0), Dimension.Time));
        html.Close();
        int failures = content.Rows.Count(row => row.Failure is not null);
        int warned = content.Rows.Count(row => row.Warnings > 0);
        if (failures > 0)
        {
            html.Open("p", ("class", "verdict doubt")).Element("a", ReportText.Count(failures, "job failed", "jobs failed"), ("href", "#failures")).Text(".").Close();
        }
        else
        {
            html.Element("p", warned > 0 ? $"{ReportText.Count(warned, "job has", "jobs have")} warnings to read before the beam is on." : "No failures and no warnings.", ("class", warned > 0 ? "verdict doubt" : "verdict"));
        }

        html.Close();

        void Fact(string name, string value) => html.Open("div").Element("dt", name).Element("dd", value).Close();
    }

    private static void AddFailures(HtmlBuilder html, IndexContent content)
    {
        if (content.Rows.All(row => row.Failure is null))
        {
            return;
        }

        html.Element("h2", "Failures", ("id", "failures"));
        foreach (IndexRow row in content.Rows)
        {
            if (row.Failure is not { } error)
            {
                continue;
            }

            string place = error.Place.ToString();
            html.Open("div", ("class", "message warning"));
            html.Open("h3").Element("span", "Failed", ("class", "badge")).Text(row.Name).Close();
            html.Element("p", $"{(place.Length > 0 ? place + ": " : "")}{error.Code.Id}: {error.Message}{(error.Fix is { } fix ? "; " + fix : "")}");
            html.Open("details").Element("summary", "What this means").Element("p", error.Code.Explanation).Close();
            html.Close();
        }
    }

    private static string Capital(string text) => char.ToUpperInvariant(text[0]) + text[1..];
}
