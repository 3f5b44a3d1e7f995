using System.Text;
using PatternCompiler.Reports.Player;

namespace PatternCompiler.Reports.Html;

/// <summary>One HTML file that plays how a pattern is written; it needs no network and no other file, and shows a picture where scripts do not run.</summary>
internal static class PlayerPage
{
    /// <summary>Writes the page to a stream, which stays open.</summary>
    public static void Write(PlayerDocument document, ReportPicture still, string toolVersion, Stream output)
    {
        var html = new HtmlBuilder();
        PageFrame.Begin(html, $"{document.Name}: how it is written", isWide: true, PlayerFiles.Style);
        html.Open("header");
        html.Element("p", "How it is written", ("class", "kind"));
        html.Element("h1", document.Name);
        html.Close().Open("main");
        html.Element("h2", "The beam’s way", ("id", "way"));
        PlayerMarkup.Add(html, document);
        html.Element("h2", "Picture", ("id", "pictures"));
        PictureMarkup.Add(html, still);
        CautionsSection.Add(html);
        html.Close();
        PageFrame.End(html, toolVersion);
        output.Write(Encoding.UTF8.GetBytes(html.ToDocument()));
    }
}
