using System.Collections.Immutable;
using System.Text;

namespace PatternCompiler.Reports.Html;

/// <summary>The comparison of two folders as one HTML file: every file with what became of it, and what differs in pictures.</summary>
internal static class ComparisonPage
{
    /// <summary>Most files with pictures: three of them each, so that a page stays below a few megabytes.</summary>
    public const int MostPictured = 12;

    // What is larger is set as dots: a line drawing of a whole chip would outgrow them by far.
    private const int MostSvgBytes = 40_000;

    /// <summary>Writes the page to a stream, which stays open.</summary>
    public static void Write(ComparisonContent content, Stream output)
    {
        var html = new HtmlBuilder();
        PageFrame.Begin(html, $"{content.First} and {content.Second}: comparison", isWide: true);
        html.Open("header");
        html.Element("p", "Comparison", ("class", "kind"));
        html.Element("h1", $"{content.First} | {content.Second}");
        html.Element("p", $"First, what is expected: {content.First}. Second, what is there: {content.Second}.", ("class", "lede"));
        html.Element("p", content.Totals + ".", ("class", content.Files.All(file => file.IsSame) ? "verdict" : "verdict doubt"));
        html.Close().Open("main");
        html.Element("h2", "Files", ("id", "files"));
        AddTable(html, content.Files);
        AddDifferences(html, content.Files);
        html.Close();
        PageFrame.End(html, content.ToolVersion);
        output.Write(Encoding.UTF8.GetBytes(html.ToDocument()));
    }

    private static void AddTable(HtmlBuilder html, ImmutableArray<ComparedFile> files)
    {
        if (files.IsEmpty)
        {
            html.Element("p", "Both folders are empty.");
            return;
        }

        html.Open("div", ("class", "compared"));
        ReportTable.Begin(html, "Those that are not in both come first, then by name", false, "File", "State", "What differs");
        for (int i = 0; i < files.Length; i++)
        {
            ComparedFile file = files[i];
            html.Open("tr").Open("th", ("scope", "row"));
            if (HasSection(file))
            {
                html.Element("a", file.Name, ("href", $"#file-{i + 1}"));
            }
            else
            {
                html.Text(file.Name);
            }

            html.Close();
            html.Element("td", file.Outcome, ("class", file.IsSame ? "fits" : "doubt-text"));
            html.Element("td", file.Details.IsEmpty ? file.IsSame ? "nothing" : "–" : Shortened(file.Details));
            html.Close();
        }

        ReportTable.End(html);
        html.Close();
    }

    private static void AddDifferences(HtmlBuilder html, ImmutableArray<ComparedFile> files)
    {
        if (!files.Any(HasSection))
        {
            return;
        }

        html.Element("h2", "Differences", ("id", "differences"));
        for (int i = 0; i < files.Length; i++)
        {
            ComparedFile file = files[i];
            if (!HasSection(file))
            {
                continue;
            }

            html.Element("h3", file.Name, ("id", $"file-{i + 1}"), ("class", "step"));
            html.Open("ul", ("class", "details"));
            foreach (string line in file.Details)
            {
                html.Element("li", line);
            }

            html.Close();
            if (file.NoPicture is { } why)
            {
                html.Element("p", why);
            }

            if (!file.Pictures.IsEmpty)
            {
                html.Open("div", ("class", "plates three"));
                foreach (ReportPicture picture in file.Pictures)
                {
                    PictureMarkup.Add(html, picture, MostSvgBytes);
                }

                html.Close();
            }
        }
    }

    private static bool HasSection(ComparedFile file) => !file.IsSame && !file.Details.IsEmpty;

    private static string Shortened(ImmutableArray<string> details) =>
        details.Length == 1 ? details[0] : $"{details[0]} … and {ReportText.Count(details.Length - 1, "more line", "more lines")} below";
}
