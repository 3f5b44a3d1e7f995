namespace PatternCompiler.Reports.Html;

/// <summary>Tells, where the view is narrow, that the table below is wider.</summary>
internal static class ScrollHint
{
    /// <summary>Adds it.</summary>
    /// <param name="html">The page.</param>
    /// <param name="isSlim">The table is the width of a text column: it fits all but a narrow view.</param>
    public static void Add(HtmlBuilder html, bool isSlim = false) =>
        html.Element("p", "The table below goes on to the right: scroll it sideways.", ("class", isSlim ? "scroll-hint slim" : "scroll-hint"));
}
