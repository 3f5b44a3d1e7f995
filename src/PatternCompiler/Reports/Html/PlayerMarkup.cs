using PatternCompiler.Reports.Player;

namespace PatternCompiler.Reports.Html;

/// <summary>
/// The part of a page that plays records. Without scripts it stays hidden, and the pictures of the page are what there is; the script
/// <c>Player.js</c> shows it.
/// </summary>
internal static class PlayerMarkup
{
    private static readonly (string Value, string Text)[] Speeds =
    [
        ("10", "everything in 10 s"), ("60", "everything in 60 s"), ("600", "everything in 10 min"), ("real", "as the writer does"),
        ("0.1", "10 times slower"), ("0.001", "1000 times slower"), ("0.00001", "100,000 times slower"),
    ];

    private static readonly (string Id, string Text)[] Layers =
    [
        ("figures", "Figures"), ("strokes", "Strokes"), ("jumps", "Jumps"), ("print", "Predicted print"), ("messages", "Warnings"),
    ];

    /// <summary>Adds it.</summary>
    public static void Add(HtmlBuilder html, PlayerDocument document)
    {
        html.Open("noscript").Element("p", "Scripts do not run here: the pictures on this page show the pattern, standing still.").Close();
        html.Open("section", ("id", "player"), ("class", "player"), ("aria-label", "The beam’s way"), ("hidden", "hidden"));
        html.Open("div", ("class", "player-view"));
        html.Open("canvas", ("id", "player-canvas"), ("tabindex", "0"), ("role", "application"), ("aria-label", "Pattern and beam"), ("aria-describedby", "player-summary player-keys")).Close();
        html.Open("div", ("class", "player-zoom"));
        Button("zoom-in", "+", "Zoom in");
        Button("zoom-out", "−", "Zoom out");
        Button("zoom-all", "All", "Show everything");
        html.Close().Close();
        AddTime();
        AddLayers();
        html.Open("div", ("class", "player-told"));
        html.Open("div").Element("h3", "Beam now").Open("dl", ("id", "player-now"), ("class", "player-facts")).Close().Close();
        html.Open("div").Element("h3", "Picked").Open("dl", ("id", "player-picked"), ("class", "player-facts"), ("aria-live", "polite")).Close();
        Button("to-picked", "Go to when it is written", "Go to when the picked record is written");
        html.Close().Close();
        html.Element("h3", "Warnings and notes with a place", ("id", "player-messages-title"));
        html.Open("ul", ("id", "player-messages"), ("class", "player-messages")).Close();
        html.Element("p", "", ("id", "player-summary"), ("class", "player-note"));
        foreach (string text in document.LeftOut)
        {
            html.Element("p", text, ("class", "player-note player-left-out"));
        }

        html.Element(
            "p",
            "Keys, with the picture in focus: arrows move it, + and − zoom, 0 shows everything, Space plays or pauses, comma and full stop step by one record, [ and ] by one figure, Home and End go to the first and the last record, P picks what is in the middle, B brings the beam to the middle. The mouse drags; its wheel zooms once the picture is in focus. Two fingers zoom, one drags.",
            ("id", "player-keys"), ("class", "player-note"));
        html.Close();
        html.Data("player-facts-data", "application/json", document.ToFacts());
        html.Data("player-data", "text/plain", document.ToData());
        html.Script(PlayerFiles.Script);

        void Button(string id, string text, string label)
        {
            // Words name a button themselves; signs do not.
            (string, string) name = text.Length == 1 ? ("aria-label", label) : ("title", label);
            html.Open("button", ("type", "button"), ("id", $"player-{id}"), name).Text(text).Close();
        }

        void AddTime()
        {
            html.Open("div", ("class", "player-time"));
            Button("back", "◂ Record", "One record back");
            Button("play", "Play", "Play or pause");
            Button("step", "Record ▸", "One record on");
            html.Open("label", ("for", "player-slider"), ("class", "player-hidden")).Text("Time").Close();
            html.Void("input", ("type", "range"), ("id", "player-slider"), ("min", "0"), ("max", "10000"), ("value", "0"), ("step", "1"));
            html.Open("span", ("class", "player-pace")).Open("label", ("for", "player-speed")).Text("Speed").Close();
            html.Open("select", ("id", "player-speed"));
            foreach ((string value, string text) in Speeds)
            {
                html.Element("option", text, ("value", value));
            }

            html.Close().Close().Close();
        }

        void AddLayers()
        {
            html.Open("fieldset", ("class", "player-layers")).Element("legend", "Show");
            foreach ((string id, string text) in Layers)
            {
                html.Open("label").Void("input", ("type", "checkbox"), ("id", $"player-show-{id}")).Open("span", ("class", $"player-key player-key-{id}")).Close().Text(text).Close();
            }

            html.Open("span", ("id", "player-drawn-layers")).Close();
            html.Close();
        }
    }
}
