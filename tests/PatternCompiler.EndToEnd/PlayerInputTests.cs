using System.Globalization;
using System.Text.Json;
using PatternCompiler.EndToEnd.Pages;

namespace PatternCompiler.EndToEnd;

/// <summary>The page that plays how the beam writes, for readers with fingers, with little patience, with calm, and without scripts.</summary>
public sealed class PlayerInputTests(Browser browser) : IClassFixture<Browser>
{
    private const string Canvas = "#player-canvas";
    private const string Idle = "(async () => { const canvas = document.getElementById('player-canvas'); for (let i = 0; i < 800; i++) { await new Promise(done => setTimeout(done, 25)); if (canvas.dataset.state === 'idle') return 'idle'; } return 'busy'; })()";

    // Six figures in two layers, each on a line of its own; strokes of all are more than one block of numbers.
    private static readonly (double X, double Y, int Line, string Layer)[] Figures =
        [(-20, 12, 5, "pads"), (20, 12, 6, "pads"), (0, 0, 7, "pads"), (-20, -12, 8, "wires"), (20, -12, 9, "wires"), (0, 25, 10, "wires")];

    /// <summary>
    /// What is drawn shows before its records are read: at the first frame the canvas holds ink, and of the records none (where the drawing is
    /// known) or not all are there.
    /// </summary>
    [FactWith("chromium")]
    public async Task The_first_frame_does_not_wait_for_the_last_record()
    {
        using WorkFolder folder = new WorkFolder().With("chip.layout", "layout 1\nunit um\nlayer pads\nrepeat 30 as i\n  repeat 30 as j\n    rect on pads at (i * 2 - 30, j * 2 - 30) size (1, 1)\n  end\nend\n");
        folder.Run("build", "chip.layout", "-q").Expect(0);
        folder.Run("preview", "chip.layout", "-q", "-o", "chip.html").Expect(0);
        folder.Run("preview", "chip.stream", "-q", "-o", "records.html").Expect(0);
        foreach ((string page, bool hasFigures) in new[] { ("chip.html", true), ("records.html", false) })
        {
            await browser.LookAt(folder[page], 1280, slower: 4, before: """
                const mark = performance.mark.bind(performance);
                performance.mark = (name, options) => {
                  if (name === "player-first-frame") {
                    const canvas = document.getElementById("player-canvas"), data = new Uint32Array(canvas.getContext("2d").getImageData(70, 20, canvas.width - 250, canvas.height - 100).data.buffer);
                    window.first = { ...options.detail, ink: data.filter(pixel => pixel !== data[0]).length, summary: document.getElementById("player-summary").textContent };
                  }
                  return mark(name, options);
                };
                """);
            Assert.Equal("idle", await browser.Evaluate(Idle));
            using JsonDocument first = JsonDocument.Parse(await browser.Evaluate("JSON.stringify({ ...window.first, all: JSON.parse(document.getElementById('player-facts-data').textContent).records })"));
            long Number(string name) => first.RootElement.GetProperty(name).GetInt64();
            Assert.True(Number("all") > 20_000, $"{Number("all")}");
            Assert.InRange(Number("ink"), 200, long.MaxValue);
            Assert.InRange(Number("records"), hasFigures ? 0 : 1, Number("all") - 1);
            Assert.Equal(hasFigures ? 900 : 0, Number("figures"));
            Assert.StartsWith("Reading ", first.RootElement.GetProperty("summary").GetString(), StringComparison.Ordinal);

            // In the end all is there, and the controls of time work.
            Assert.Equal("false", (await browser.Evaluate("document.getElementById('player-play').disabled")).ToLowerInvariant());
            Assert.Contains(" of ", await Told("now"), StringComparison.Ordinal);
        }
    }

    [FactWith("chromium")]
    public async Task One_finger_drags_two_zoom_and_a_tap_picks()
    {
        using WorkFolder folder = Drawn();
        await browser.LookAt(folder["chip.html"], 390);
        Assert.Equal("idle", await browser.Evaluate(Idle));
        double[] before = await View();
        await browser.Touch(Canvas, (0, 0, 60, -40));
        double[] dragged = await View();
        Assert.Equal(before[0] - 60 / before[2], dragged[0], 0.02 * 60 / before[2]);
        Assert.Equal(before[1] - 40 / before[2], dragged[1], 0.02 * 60 / before[2]);
        Assert.Equal(before[2], dragged[2]);

        // Fingers 40 pixels apart go to 120: three times as large, and what lay between them stays there.
        await browser.Touch(Canvas, (-20, 0, -60, 0), (20, 0, 60, 0));
        double[] zoomed = await View();
        Assert.Equal(3, zoomed[2] / dragged[2], 0.15);
        (double x, double y) = await MiddleOnPattern(dragged);
        (double stillX, double stillY) = await MiddleOnPattern(zoomed);
        Assert.Equal(x, stillX, 8 / zoomed[2]);
        Assert.Equal(y, stillY, 8 / zoomed[2]);
        await browser.Touch(Canvas, (-60, 0, -20, 0), (60, 0, 20, 0));
        Assert.Equal(1, (await View())[2] / dragged[2], 0.1);

        await browser.Click("#player-zoom-all");
        await browser.Evaluate(Idle);
        await browser.Touch(Canvas, (0, 0, 0, 0));
        Assert.DoesNotContain("Click a stroke", await Told("picked"), StringComparison.Ordinal);
    }

    /// <summary>Who asks for little motion sees four pictures a second at most, and gets to the end as well.</summary>
    [FactWith("chromium")]
    public async Task Little_motion_is_little()
    {
        using WorkFolder folder = Drawn();
        var shown = new int[2];
        foreach (bool isCalm in (bool[])[false, true])
        {
            await browser.LookAt(folder["chip.html"], 1280, isCalm: isCalm);
            Assert.Equal("idle", await browser.Evaluate(Idle));
            shown[isCalm ? 1 : 0] = int.Parse(await browser.Evaluate("""
                (async () => {
                  const slider = document.getElementById("player-slider"), seen = new Set();
                  document.getElementById("player-play").click();
                  for (const until = performance.now() + 2000; performance.now() < until;) { seen.add(slider.value); await new Promise(requestAnimationFrame); }
                  document.getElementById("player-play").click();
                  return seen.size;
                })()
                """), CultureInfo.InvariantCulture);
        }

        Assert.InRange(shown[1], 3, 10);
        Assert.True(shown[0] > 2 * shown[1], $"{shown[0]} and {shown[1]} pictures in 2 s");
    }

    [FactWith("chromium")]
    public async Task Without_scripts_there_are_the_pictures()
    {
        using WorkFolder folder = Drawn();
        folder.Run("build", "chip.layout", "-q", "--report", "report.html").Expect(0);
        foreach ((string page, int pictures) in new[] { ("chip.html", 1), ("report.html", 4) })
        {
            PageView view = await browser.LookAt(folder[page], 390, isScripted: false);
            Assert.Contains("Scripts do not run here: the pictures on this page show the pattern, standing still.", view.Text, StringComparison.Ordinal);
            Assert.Equal("0", await browser.Evaluate("document.getElementById('player').offsetHeight"));
            Assert.Equal(pictures, view.Pictures.Length);
            Assert.All(view.Pictures, picture => Assert.True(picture is { Width: > 300, Shown: > 300, Alternative.Length: > 10 }, $"{picture}"));
            Assert.Empty(view.Complaints);
            Assert.Equal(0, view.Overflow);
        }
    }

    [FactWith("chromium")]
    public async Task A_warning_leads_to_its_place()
    {
        using WorkFolder folder = new WorkFolder()
            .With("small.layout", "layout 1\nunit um\nlayer pads\nrect on pads from (-30, -30) to (-29, -29)\nrect on pads at (12, 7) size (0.004, 0.004)\nrect on pads from (29, 29) to (30, 30)\n");
        string messages = folder.Run("preview", "small.layout", "-o", "small.html").Expect(0).Errors;
        Assert.Contains("warning", messages, StringComparison.Ordinal);
        await browser.LookAt(folder["small.html"], 1280);
        Assert.Equal("idle", await browser.Evaluate(Idle));
        double[] before = await View();
        await browser.Click("#player-messages .player-warning");
        await browser.Evaluate(Idle);
        double[] led = await View();
        Assert.True(led[2] > 4 * before[2]);
        Assert.Equal(12_002, led[0], 10.0);
        Assert.Equal(7_002, led[1], 10.0);
        Assert.Contains("small.layout:5", await Told("picked"), StringComparison.Ordinal);
    }

    /// <summary>Wherever figures lie, a click tells which, from which line of the drawing, with which record; beside them it tells that there is nothing.</summary>
    [FactWith("chromium")]
    public async Task A_click_on_anything_tells_what_it_is()
    {
        using WorkFolder folder = Drawn();
        await browser.LookAt(folder["chip.html"], 1280);
        Assert.Equal("idle", await browser.Evaluate(Idle));
        foreach ((double x, double y, int line, string layer) in Figures)
        {
            string told = await ClickOn(x, y);
            foreach (string part in (string[])["Record ", "beam on", "Time ", "X, Y ", "Codes X, Y ", "Dwell ", $", layer {layer}", "Dose 300 µC/cm², factor 1", $"chip.layout:{line}"])
            {
                Assert.Contains(part, told, StringComparison.Ordinal);
            }
        }

        Assert.StartsWith("Nothing", await ClickOn(10, 25), StringComparison.Ordinal);

        // Without strokes the figure alone is told, and of a layer that is switched off nothing.
        await browser.Click("#player-show-strokes");
        string figure = await ClickOn(0, 0);
        Assert.DoesNotContain("Record ", figure, StringComparison.Ordinal);
        Assert.Contains("chip.layout:7", figure, StringComparison.Ordinal);
        await browser.Click("#player-drawn-layers label:first-child input");
        Assert.StartsWith("Nothing", await ClickOn(0, 0), StringComparison.Ordinal);
    }

    /// <summary>Where a process is named, the page shows what it predicts: for a job, for a drawing with a process, and for a stream in the part that is asked for.</summary>
    [FactWith("chromium")]
    public async Task A_page_shows_the_predicted_print_where_a_process_is_named()
    {
        using WorkFolder folder = Drawn();
        folder.Run("init", "lab").Expect(0);
        foreach ((string[] asked, bool isShown) in new (string[], bool)[]
        {
            (["chip.layout"], false),
            (["chip.layout", "--process", "lab/process.yaml"], true),
            (["chip.stream", "--process", "lab/process.yaml", "--machine", "lab/machine.yaml", "--other-settings", "--window", "0 um, 0 um, 9 um"], true),
        })
        {
            folder.Run(["preview", .. asked, "-q", "-o", "print.html"]).Expect(0);
            await browser.LookAt(folder["print.html"], 1280);
            Assert.Equal("idle", await browser.Evaluate(Idle));
            Assert.Equal(isShown ? "False" : "True", await browser.Evaluate("document.getElementById('player-show-print').closest('label').hidden"), ignoreCase: true);
            if (isShown)
            {
                string with = await Pixels();
                await browser.Click("#player-show-print");
                await browser.Evaluate(Idle);
                Assert.NotEqual(with, await Pixels());
            }
        }

        Outcome refused = folder.Run("preview", "chip.stream", "-q", "--window", "0 um, 0 um, 9 um", "-o", "no.html").Expect(2);
        Assert.Contains("--window names the part of a page where the print is predicted", refused.Errors, StringComparison.Ordinal);
        Assert.False(File.Exists(folder["no.html"]));
    }

    private async Task<string> ClickOn(double x, double y)
    {
        double[] view = await View();
        string[] size = (await browser.Evaluate("(() => { const canvas = document.getElementById('player-canvas'); return `${canvas.clientWidth} ${canvas.clientHeight}`; })()")).Split(' ');
        (double width, double height) = (double.Parse(size[0], CultureInfo.InvariantCulture), double.Parse(size[1], CultureInfo.InvariantCulture));
        await browser.Click(Canvas, view[3] + (1000 * x - view[0]) * view[2] - width / 2, view[4] - (1000 * y - view[1]) * view[2] - height / 2);
        return await Told("picked");
    }

    private async Task<(double X, double Y)> MiddleOnPattern(double[] view)
    {
        string[] size = (await browser.Evaluate("(() => { const canvas = document.getElementById('player-canvas'); return `${canvas.clientWidth} ${canvas.clientHeight}`; })()")).Split(' ');
        return (view[0] + (double.Parse(size[0], CultureInfo.InvariantCulture) / 2 - view[3]) / view[2], view[1] - (double.Parse(size[1], CultureInfo.InvariantCulture) / 2 - view[4]) / view[2]);
    }

    /// <summary>Place in the middle, pixels a nanometre, and where on the canvas that middle is.</summary>
    private async Task<double[]> View()
    {
        await browser.Evaluate(Idle);
        return [.. (await browser.Evaluate("document.getElementById('player-canvas').dataset.view")).Split(' ').Select(part => double.Parse(part, CultureInfo.InvariantCulture))];
    }

    private async Task<string> Told(string id)
    {
        await browser.Evaluate(Idle);
        return (await browser.Evaluate($"[...document.getElementById('player-{id}').children].map(part => part.textContent).join(' ')")).Trim();
    }

    private Task<string> Pixels() => browser.Evaluate("(() => { const canvas = document.getElementById('player-canvas'), data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data; let sum = 0; for (let i = 0; i < data.length; i++) sum = (sum * 31 + data[i]) | 0; return String(sum); })()");

    private static WorkFolder Drawn()
    {
        string figures = string.Concat(Figures.Select(figure => string.Create(CultureInfo.InvariantCulture, $"rect on {figure.Layer} from ({figure.X - 6}, {figure.Y - 4}) to ({figure.X + 6}, {figure.Y + 4})\n")));
        WorkFolder folder = new WorkFolder().With("chip.layout", "layout 1\nunit um\nlayer pads\nlayer wires\n" + figures);
        folder.Run("build", "chip.layout", "-q").Expect(0);
        folder.Run("preview", "chip.layout", "-q", "-o", "chip.html").Expect(0);
        return folder;
    }
}
