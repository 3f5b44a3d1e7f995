using System.Collections.Immutable;
using System.Text;
using PatternCompiler.Generate.BringUp;

namespace PatternCompiler.Reports.Html;

/// <summary>The page of a bring-up: its steps in their order, with pictures, numbers, what to look at and when to stop. It lies beside their files.</summary>
internal static class BringUpPage
{
    private static readonly (BringUpPhase Phase, string Title, string Lede)[] Phases =
    [
        (BringUpPhase.NoBeam, "No beam", "The controller alone on the bench: outputs and lines at a scope or a voltmeter, nothing at the microscope. Its high voltage is off and stays off."),
        (BringUpPhase.DummyLoad, "Dummy load", "The same controller behind the cables that will stay, with loads in place of the microscope’s inputs. The high voltage is still off."),
        (BringUpPhase.BeamOnScrap, "Beam on scrap", "The microscope with its beam, first in a Faraday cup, then on a scrap of coated substrate that nobody needs. Only after every step above has shown what it should, and by people whom the laboratory allows to."),
    ];

    /// <summary>Writes the page to a stream, which stays open.</summary>
    public static void Write(BringUpContent content, Stream output)
    {
        var html = new HtmlBuilder();
        PageFrame.Begin(html, $"Bring-up: {content.MachineName}");
        AddHeader(html, content);
        html.Open("main");
        html.Element("h2", "Before you begin", ("id", "begin"));
        html.Open("ul", ("class", "cautions"));
        foreach (string rule in Rules(content))
        {
            html.Element("li", rule);
        }

        html.Close();
        CautionsSection.Add(html);
        foreach ((BringUpPhase phase, string title, string lede) in Phases)
        {
            html.Element("h2", title, ("id", PhaseId(phase)));
            html.Element("p", lede);
            foreach (BringUpStep step in content.Steps.Where(step => step.Phase == phase))
            {
                AddStep(html, step, content);
            }
        }

        html.Close();
        PageFrame.End(html, content.ToolVersion);
        output.Write(Encoding.UTF8.GetBytes(html.ToDocument()));
    }

    private static IEnumerable<string> Rules(BringUpContent content) =>
    [
        "Take the steps in their order, and go on only when a step has shown what it should. After a repair begin again with the first step that rests on it.",
        "Send each stream with 'patternc send NAME.stream --link PORT', NAME being what stands above its pictures.",
        "In the pictures full lines are what the controller is told. Dashed lines follow the machine file’s settling (with a dummy load its time constant alone) and the blanker’s delays. Volts in them are those of the straight line under 'dac'.",
        $"Numbers hold for this machine file: when it changes, write this folder again. The shortest record is {BringUpText.Time(content.ShortestSeconds)}, for which the link needs half of its rate.",
        .. content.HoldsOneBlock
            ? [$"This controller holds one block: after every {ReportText.Count(content.RecordsPerBlock)} records it waits for the link, and the outputs rest longer there than the pictures show. That is no fault of this bring-up, but it will turn the beam off within figures."]
            : ImmutableArray<string>.Empty,
        .. content.HasBlanker ? ImmutableArray<string>.Empty : ["This machine has no blanker: steps that test one are left out. With the beam on, it exposes wherever it stands."],
    ];

    private static void AddHeader(HtmlBuilder html, BringUpContent content)
    {
        html.Open("header");
        html.Element("p", "Bring-up", ("class", "kind"));
        html.Element("h1", content.MachineName);
        html.Open("dl", ("class", "facts"));
        foreach ((string name, string value) in content.Facts)
        {
            html.Open("div").Element("dt", name).Element("dd", value).Close();
        }

        html.Close();
        html.Open("nav", ("aria-label", "Steps")).Open("ul");
        foreach (BringUpStep step in content.Steps)
        {
            html.Open("li").Element("a", $"{ReportText.Count(step.Number)} {step.Title}", ("href", "#" + IdOf(step))).Close();
        }

        html.Close().Close();
        html.Close();
    }

    private static void AddStep(HtmlBuilder html, BringUpStep step, BringUpContent content)
    {
        html.Open("section", ("aria-labelledby", IdOf(step)));
        html.Element("h3", $"{ReportText.Count(step.Number)} {step.Title}", ("id", IdOf(step)), ("class", "step"));
        html.Open("p").Text("Send ").Element("a", step.FileName + content.StreamEnding, ("href", step.FileName + content.StreamEnding)).Text(".").Close();
        Labelled(html, "Connect.", step.Connect);
        Labelled(html, "Beam.", step.Beam);
        foreach (BringUpView view in step.Views)
        {
            AddPicture(html, step, view);
        }

        ReportTable.Begin(html, "Numbers", false, "What", "#Value");
        foreach ((string name, string value) in step.Facts)
        {
            html.Open("tr").Element("th", name, ("scope", "row")).Element("td", value).Close();
        }

        ReportTable.End(html);
        if (step.Table is { } table)
        {
            AddTable(html, step, table);
        }

        AddList(html, "Look at", step.LookAt);
        ReportTable.Begin(html, "If it looks otherwise", false, "Seen", "What is wrong");
        foreach ((string seen, string cause) in step.Faults)
        {
            ReportTable.Row(html, seen, cause);
        }

        ReportTable.End(html);
        html.Open("div", ("class", "message warning"));
        AddList(html, "Stop when", step.Stop);
        html.Close();
        html.Close();
    }

    private static void AddPicture(HtmlBuilder html, BringUpStep step, BringUpView view)
    {
        string file = BringUpContent.PictureName(step, view);
        html.Open("figure").Open("div", ("class", "plate wide-plate"));
        html.Open("a", ("href", file));
        html.Void("img", ("src", file), ("alt", $"Expected waveforms of step {ReportText.Count(step.Number)}, {step.Title}: {view.Caption}"));
        html.Close().Close();
        html.Element("figcaption", view.Caption);
        html.Close();
    }

    private static void AddTable(HtmlBuilder html, BringUpStep step, BringUpTable table)
    {
        ReportTable.Begin(html, $"Step {ReportText.Count(step.Number)}: {table.Caption}", table.Columns.Length > 3, [.. table.Columns]);
        foreach (ImmutableArray<string> row in table.Rows)
        {
            string[] cells = [.. row.Skip(1).Select((cell, i) => table.Columns[i + 1].StartsWith('#') ? "#" + cell : cell)];
            ReportTable.Row(html, row[0], cells);
        }

        ReportTable.End(html);
    }

    private static void Labelled(HtmlBuilder html, string label, string text) =>
        html.Open("p").Element("b", label).Text(" " + text).Close();

    private static void AddList(HtmlBuilder html, string title, ImmutableArray<string> items)
    {
        html.Element("h4", title);
        html.Open("ul", ("class", "cautions"));
        foreach (string item in items)
        {
            html.Element("li", item);
        }

        html.Close();
    }

    private static string IdOf(BringUpStep step) => "step-" + ReportText.Count(step.Number);

    private static string PhaseId(BringUpPhase phase) => phase switch { BringUpPhase.NoBeam => "no-beam", BringUpPhase.DummyLoad => "dummy-load", _ => "beam-on-scrap" };
}
