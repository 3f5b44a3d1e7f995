namespace PatternCompiler.Reports.Html;

/// <summary>A table in a part of the page that scrolls by itself where it is too narrow.</summary>
internal static class ReportTable
{
    /// <summary>Starts a table; ended by <see cref="End"/>.</summary>
    /// <param name="html">The page.</param>
    /// <param name="caption">What the table holds.</param>
    /// <param name="isWide">It does not fit a narrow page and scrolls there.</param>
    /// <param name="columns">Heads; those of numbers begin with "#".</param>
    public static void Begin(HtmlBuilder html, string caption, bool isWide, params ReadOnlySpan<string> columns)
    {
        if (isWide)
        {
            ScrollHint.Add(html, isSlim: true);
            html.Open("section", ("class", "scroll"), ("tabindex", "0"), ("aria-label", caption));
            html.Open("table", ("class", "wide"));
        }
        else
        {
            html.Open("div", ("class", "scroll"));
            html.Open("table");
        }

        html.Element("caption", caption);
        html.Open("thead").Open("tr");
        foreach (string column in columns)
        {
            if (column.StartsWith('#'))
            {
                html.Element("th", column[1..], ("scope", "col"), ("class", "number"));
            }
            else
            {
                html.Element("th", column, ("scope", "col"));
            }
        }

        html.Close().Close().Open("tbody");
    }

    /// <summary>A row: its head, then cells; those of numbers begin with "#".</summary>
    public static void Row(HtmlBuilder html, string head, params ReadOnlySpan<string> cells)
    {
        html.Open("tr");
        Cells(html, head, cells);
        html.Close();
    }

    /// <summary>A row of sums.</summary>
    public static void Total(HtmlBuilder html, string head, params ReadOnlySpan<string> cells)
    {
        html.Open("tr", ("class", "total"));
        Cells(html, head, cells);
        html.Close();
    }

    /// <summary>Ends a table.</summary>
    public static void End(HtmlBuilder html) => html.Close().Close().Close();

    private static void Cells(HtmlBuilder html, string head, ReadOnlySpan<string> cells)
    {
        html.Open("th", ("scope", "row")).Name(head).Close();
        foreach (string cell in cells)
        {
            if (cell.StartsWith('#'))
            {
                html.Element("td", cell[1..], ("class", "number"));
            }
            else
            {
                html.Element("td", cell);
            }
        }
    }
}
