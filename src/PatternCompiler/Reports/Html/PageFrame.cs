namespace PatternCompiler.Reports.Html;

/// <summary>Head and foot of all pages.</summary>
internal static class PageFrame
{
    private const int LongestTitle = 65;

    /// <summary>Starts a page, up to and with its main part; ended by <see cref="End"/>.</summary>
    /// <param name="html">The page.</param>
    /// <param name="title">Its title.</param>
    /// <param name="isWide">It takes more room than a text needs, for tables of many columns.</param>
    /// <param name="style">Style sheet of what only this page has.</param>
    public static void Begin(HtmlBuilder html, string title, bool isWide = false, string style = "")
    {
        html.Open("html", ("lang", "en")).Open("head");
        html.Void("meta", ("charset", "utf-8"));
        html.Void("meta", ("name", "viewport"), ("content", "width=device-width, initial-scale=1"));
        html.Element("title", title.Length <= LongestTitle ? title : title[..(LongestTitle - 1)] + "…");

        // An empty icon, so that a browser asks for none.
        html.Void("link", ("rel", "icon"), ("href", "data:,"));
        html.Style(ReportStyle.Text + style);
        html.Close().Open("body").Open("div", ("class", isWide ? "page wide-page" : "page"));
    }

    /// <summary>Ends a page.</summary>
    public static void End(HtmlBuilder html, string toolVersion)
    {
        html.Open("footer").Text($"Written by patternc {toolVersion}. The same input gives the same page, byte for byte.").Close();
        html.Close().Close().Close();
    }
}
