using System.Collections.Immutable;
using PatternCompiler.Units;

namespace PatternCompiler.Reports.Html;

/// <summary>Which files went in and came out, with their hashes.</summary>
internal static class FilesSection
{
    public static void Add(HtmlBuilder html, ReportContent content)
    {
        html.Element("h2", "Files", ("id", "files"));
        html.Element("p", "The hashes are SHA-256 (FIPS 180-4): ‘sha256sum’ prints the same for the same content.");
        Add(html, "Read", content.Inputs);
        Add(html, "Made", content.Outputs);
    }

    private static void Add(HtmlBuilder html, string caption, ImmutableArray<ReportFile> files)
    {
        if (files.IsEmpty)
        {
            return;
        }

        ReportTable.Begin(html, caption, false, "File", "#Size", "SHA-256");
        foreach (ReportFile file in files)
        {
            html.Open("tr").Open("th", ("scope", "row")).Name($"{file.Name} ({file.Role})").Close();
            html.Element("td", ReportText.Of(file.Bytes, Dimension.DataSize), ("class", "number"));
            html.Open("td").Element("code", file.Hash ?? "not known").Close().Close();
        }

        ReportTable.End(html);
    }
}
