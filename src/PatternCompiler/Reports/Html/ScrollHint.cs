namespace PatternCompiler.Reports.Html;

/// <summary>Tells, where the view is narrow, that the table below is wider.</summary>
internal static class ScrollHint
{
    public static void Add(HtmlBuilder html) => html.Element("p", "The table below goes on to the right: scroll it sideways.", ("class", "scroll-hint"));
}
