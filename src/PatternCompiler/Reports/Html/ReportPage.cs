using System.Text;
using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Reports.Player;
using PatternCompiler.Units;

namespace PatternCompiler.Reports.Html;

/// <summary>The report of a build as one HTML file (WHATWG HTML) that needs no network and no other file; scripts are needed only to play how it is written.</summary>
internal static class ReportPage
{
    private static readonly (string Id, string Name)[] Contents =
    [
        ("pictures", "Pictures"), ("way", "The beam’s way"), ("messages", "Warnings and notes"), ("drawings", "Left out"), ("dose", "Dose"), ("time", "Time"), ("hardware", "Hardware fit"),
        ("resist", "Predicted resist"), ("settings", "Settings"), ("files", "Files"), ("cautions", "Cautions"),
    ];

    /// <summary>Writes the page to a stream, which stays open.</summary>
    public static void Write(ReportContent content, Stream output)
    {
        var html = new HtmlBuilder();
        PageFrame.Begin(html, $"{content.JobName}: exposure report", isWide: false, PlayerFiles.Style);
        AddHeader(html, content);
        html.Open("main");
        html.Element("h2", "Pictures", ("id", "pictures"));
        html.Open("div", ("class", "plates"));
        foreach (ReportPicture picture in content.Pictures)
        {
            PictureMarkup.Add(html, picture);
        }

        html.Close();
        html.Element("h2", "The beam’s way", ("id", "way"));
        PlayerMarkup.Add(html, content.Player);
        MessagesSection.AddOthers(html, content);
        MessagesSection.AddDrawings(html, content);
        DoseSection.Add(html, content);
        TimeSection.Add(html, content.Estimate);
        HardwareSection.Add(html, content);
        PredictionSection.Add(html, content);
        SettingsSection.Add(html, content);
        FilesSection.Add(html, content);
        CautionsSection.Add(html);
        html.Close();
        PageFrame.End(html, content.ToolVersion);
        output.Write(Encoding.UTF8.GetBytes(html.ToDocument()));
    }

    private static void AddHeader(HtmlBuilder html, ReportContent content)
    {
        html.Open("header");
        html.Element("p", "Exposure report", ("class", "kind"));
        html.Element("h1", content.JobName);
        html.Element("p", string.Join(" · ", new[] { content.Variant, content.Machine.Name, content.Process.Name }.Where(part => part.Length > 0)), ("class", "lede"));
        html.Open("dl", ("class", "facts"));
        if (content.Prediction?.Result.Shapes is { } shapes)
        {
            Fact("Shapes in a window", shapes.IsSound ? "sound" : ShapeText.Counts(shapes));
        }

        FigureTotals figures = content.Figures;
        Fact("Write time", ReportText.Of(content.Estimate.TotalSeconds, Dimension.Time));
        Fact("Size", ReportText.Unbroken(FactText.Size(new SceneExtent(figures.XLeftNanometres, figures.YBottomNanometres, figures.XRightNanometres, figures.YTopNanometres))));
        Fact("Figures", ReportText.Count(figures.Figures));
        Fact("Points", ReportText.Count(content.Estimate.Points));
        Fact("Charge", ReportText.Of(content.Estimate.ChargeCoulombs, Dimension.Charge));
        if (content.Prediction?.Result.Edges is { Samples: > 0 } edges)
        {
            Fact("Edges in a window, 3σ", ReportText.Nanometres(edges.ThreeSigmaNanometres, 3));
        }

        html.Close();
        AddVerdict(html, content);
        html.Open("nav", ("aria-label", "Contents")).Open("ul");
        foreach ((string id, string name) in Contents)
        {
            html.Open("li").Element("a", name, ("href", "#" + id)).Close();
        }

        html.Close().Close().Close();

        void Fact(string name, string value) =>
            html.Open("div").Element("dt", name).Element("dd", value).Close();
    }

    private static void AddVerdict(HtmlBuilder html, ReportContent content)
    {
        int warnings = content.Diagnostics.Count(diagnostic => diagnostic.Severity != Severity.Note);
        if (warnings == 0)
        {
            html.Element("p", "No warnings. Read the notes and the cautions before the beam is on.", ("class", "verdict"));
            return;
        }

        html.Open("p", ("class", "verdict doubt"));
        html.Element("a", ReportText.Count(warnings, "warning", "warnings"), ("href", "#messages"));
        html.Text(" to read before the beam is on.").Close();
    }
}
