using PatternCompiler.Units;

namespace PatternCompiler.Reports.Html;

/// <summary>The jobs of a batch as a table that a script, where there is one, sorts and filters; without scripts it is in the order of the batch.</summary>
internal static class IndexTable
{
    /// <summary>Most settings with a column of their own.</summary>
    private const int MostSettings = 4;

    private static readonly Column[] Figures =
    [
        new("Edges, mean", row => row.Print is { HasEdges: true } print ? print.MeanNanometres : null, row => ReportText.Signed(row.Print!.MeanNanometres)),
        new("Edges, 3σ", row => row.Print is { HasEdges: true } print ? print.ThreeSigmaNanometres : null, row => ReportText.Nanometres(row.Print!.ThreeSigmaNanometres, 3)),
        new("Write time", row => row.WriteSeconds, row => ReportText.Of(row.WriteSeconds!.Value, Dimension.Time)),
        new("Charge", row => row.ChargeCoulombs, row => ReportText.Of(row.ChargeCoulombs!.Value, Dimension.Charge)),
        new("Records", row => row.Records, row => ReportText.Count(row.Records!.Value)),
        new("Warnings", row => row.Warnings, row => ReportText.Count(row.Warnings!.Value)),
    ];

    /// <summary>Adds the table with its means of finding a job.</summary>
    public static void Add(HtmlBuilder html, IndexContent content)
    {
        AddFinder(html, content);
        ScrollHint.Add(html);
        int settings = Math.Min(content.Axes.Length, MostSettings);
        int others = Math.Min(content.Others.Length, MostSettings);
        const string Caption = "Jobs in the order of the batch";
        html.Open("section", ("class", "scroll"), ("tabindex", "0"), ("aria-label", Caption));
        html.Open("table", ("class", "wide jobs"), ("id", "job-table"));
        html.Element("caption", Caption);
        html.Open("thead").Open("tr");
        html.Element("th", "Job", ("scope", "col")).Element("th", "State", ("scope", "col"));
        for (int i = 0; i < settings; i++)
        {
            html.Element("th", Capital(content.Axes[i].Name), ("scope", "col"), ("class", "number"));
        }

        for (int i = 0; i < others; i++)
        {
            html.Element("th", Capital(content.Others[i]), ("scope", "col"));
        }

        html.Element("th", "Shapes", ("scope", "col"), ("data-kind", "number"));
        foreach (Column column in Figures)
        {
            html.Element("th", column.Head, ("scope", "col"), ("class", "number"));
        }

        html.Close().Close().Open("tbody");
        foreach (IndexRow row in content.Rows)
        {
            AddRow(html, row, settings, others);
        }

        html.Close().Close().Close();
    }

    private static void AddFinder(HtmlBuilder html, IndexContent content)
    {
        // Shown by the script, which does the work.
        html.Open("div", ("class", "finder"), ("id", "job-finder"), ("hidden", "hidden"));
        html.Open("p");
        html.Element("label", "Jobs with", ("for", "job-words"));
        html.Void("input", ("type", "search"), ("id", "job-words"), ("autocomplete", "off"));
        html.Close().Open("p");
        html.Element("label", "in state", ("for", "job-state"));
        html.Open("select", ("id", "job-state")).Element("option", "any", ("value", ""));
        foreach (string state in content.Rows.Select(row => row.Status).Distinct())
        {
            html.Element("option", state, ("value", state));
        }

        html.Close().Close();
        html.Element("p", "", ("id", "job-count"), ("role", "status"));
        html.Close();
    }

    private static void AddRow(HtmlBuilder html, IndexRow row, int settings, int others)
    {
        html.Open("tr", ("data-state", row.Status)).Open("th", ("scope", "row"), ("data-value", row.Name));
        if (row.Link is { } link)
        {
            html.Element("a", row.Name, ("href", Uri.EscapeDataString(link)));
        }
        else
        {
            html.Text(row.Name);
        }

        if (!row.Reasons.IsEmpty)
        {
            html.Text(" ").Element("span", string.Join("; ", row.Reasons), ("class", "given"));
        }

        html.Close();
        html.Open("td", ("data-value", row.Status)).Element("span", row.Status, ("class", row.Failure is null ? "fits" : "doubt-text"));
        if (row.Failure is null)
        {
            html.Text(" ").Element("span", row.HasNewBytes switch { true => "outputs changed", false => "outputs unchanged", null => "new outputs" }, ("class", "given"));
        }

        html.Close();
        for (int i = 0; i < settings; i++)
        {
            Number(html, row.Values.IsEmpty ? null : row.Values[i].Number, row.Values.IsEmpty ? "" : row.Values[i].Text, false);
        }

        for (int i = 0; i < others; i++)
        {
            string word = row.OtherWords.IsEmpty ? "–" : row.OtherWords[i];
            html.Element("td", word, ("data-value", word));
        }

        // By the number of faults, sound ones first.
        if (row.Print is { } print)
        {
            html.Element("td", print.Verdict, ("data-value", NumberText.Format(print.Faults > 0 ? print.Faults + 0.5 : print.IsSound ? 0 : 0.5)), ("class", print.IsSound ? "fits" : "doubt-text"));
        }
        else
        {
            html.Element("td", row.Failure is null ? "not predicted" : "–", ("data-value", ""));
        }

        foreach (Column column in Figures)
        {
            double? value = column.Value(row);
            Number(html, value, value is null ? "" : column.Text(row), column.Head == "Warnings" && value > 0);
        }

        html.Close();
    }

    private static void Number(HtmlBuilder html, double? value, string text, bool isDoubtful) => html.Element(
        "td",
        value is null ? "–" : text,
        ("class", isDoubtful ? "number doubt-text" : "number"),
        ("data-value", value is { } number ? NumberText.Format(number) : ""));

    private static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];

    /// <summary>A column of figures.</summary>
    /// <param name="Head">Its head.</param>
    /// <param name="Value">The value by which rows are sorted; null where it is not known.</param>
    /// <param name="Text">How a known value is shown.</param>
    private sealed record Column(string Head, Func<IndexRow, double?> Value, Func<IndexRow, string> Text);
}
