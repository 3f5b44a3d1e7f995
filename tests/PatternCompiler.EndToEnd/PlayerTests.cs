using System.Globalization;
using System.Text;
using PatternCompiler.EndToEnd.Pages;

namespace PatternCompiler.EndToEnd;

/// <summary>The page that plays how the beam writes, in a browser: moved, played, asked and stepped by mouse and keyboard.</summary>
public sealed class PlayerTests(Browser browser) : IClassFixture<Browser>
{
    private const string Idle = "(async () => { const canvas = document.getElementById('player-canvas'); for (let i = 0; i < 400; i++) { await new Promise(done => setTimeout(done, 25)); if (canvas.dataset.state === 'idle') return 'idle'; } return 'busy'; })()";

    [FactWith("chromium", "npm")]
    public async Task A_browser_and_two_checkers_find_no_fault()
    {
        using WorkFolder folder = Drawn();
        folder.Run("build", "chip.layout", "-q", "--report", "report.html").Expect(0);
        foreach (string page in (string[])["chip.html", "report.html"])
        {
            Assert.Empty(HtmlValidator.Check(folder[page]));
            foreach ((int width, bool isDark) in new[] { (390, false), (390, true), (1280, false), (1280, true) })
            {
                PageView view = await browser.LookAt(folder[page], width, isDark);
                Assert.Equal("idle", await browser.Evaluate(Idle));
                Assert.Empty(view.Complaints);
                Assert.Empty(view.Fetched);
                Assert.Equal(0, view.Overflow);
                Assert.Empty(view.TornWords);
                Assert.Empty(view.UnhintedTables);
                Assert.Empty(view.BrokenLinks);
                Assert.Equal(0, view.SmallTexts);
                Assert.Equal(isDark, view.IsDark);
                Assert.Equal("false", (await browser.Evaluate("document.getElementById('player').hidden")).ToLowerInvariant());
                Assert.Empty(await browser.Accessibility(HtmlValidator.AccessibilityScript));
            }
        }
    }

    [FactWith("chromium")]
    public async Task Keys_step_records_and_figures_and_tell_what_the_stream_says()
    {
        using WorkFolder folder = Drawn();
        await browser.LookAt(folder["chip.html"], 1280);
        await browser.Evaluate(Idle);
        await browser.Evaluate("document.getElementById('player-canvas').focus()");
        await browser.Press("Home");
        Assert.Contains("Record 0: ", await Told("now"), StringComparison.Ordinal);

        // The records' own text form says what the page must tell.
        string[] lines = [.. Encoding.UTF8.GetString(folder.Run("decode", "chip.stream", "-q").Expect(0).OutputBytes).Split('\n').Where(line => line.StartsWith("jump ", StringComparison.Ordinal) || line.StartsWith("line ", StringComparison.Ordinal) || line.StartsWith("dot ", StringComparison.Ordinal) || line.StartsWith("figure ", StringComparison.Ordinal) || line.StartsWith("wait ", StringComparison.Ordinal) || line.StartsWith("marker ", StringComparison.Ordinal))];
        for (int i = 0; i < 12; i++)
        {
            string told = await Told("now");
            Assert.Contains($"Record {i}: ", told, StringComparison.Ordinal);
            string[] words = lines[i].Split(' ');
            if (words[0] == "jump")
            {
                Assert.Contains("jump, beam off", told, StringComparison.Ordinal);
                Assert.Contains($"Codes X, Y {Grouped(words[1])}, {Grouped(words[2])}", told, StringComparison.Ordinal);
            }

            await browser.Press(".");
        }

        await browser.Press(",");
        Assert.Contains("Record 11: ", await Told("now"), StringComparison.Ordinal);
        await browser.Press("End");
        string last = await Told("now");
        await browser.Press("[");
        Assert.NotEqual(last, await Told("now"));
    }

    [FactWith("chromium")]
    public async Task A_click_tells_figure_record_dose_time_and_place_in_the_drawing()
    {
        using WorkFolder folder = Drawn();
        await browser.LookAt(folder["chip.html"], 1280);
        await browser.Evaluate(Idle);

        // The middle of everything lies in the one square of the drawing, in its third line.
        await browser.Click("#player-canvas");
        string told = await Told("picked");
        foreach (string part in (string[])["Record ", "Time ", "Codes X, Y", "Charge ", "Figure 0, layer pads", "Dose 300 µC/cm², factor 1", "chip.layout:4"])
        {
            Assert.Contains(part, told, StringComparison.Ordinal);
        }

        await browser.Click("#player-to-picked");
        Assert.Equal(told.Split("Time")[0].Trim(), "Record" + (await Told("now")).Split("Record")[1].Split("Time")[0].TrimEnd());
    }

    [FactWith("chromium")]
    public async Task It_plays_to_the_end_and_the_slider_leads_anywhere()
    {
        using WorkFolder folder = Drawn();
        await browser.LookAt(folder["chip.html"], 1280);
        await browser.Evaluate(Idle);
        string all = await Pixels();
        await browser.Evaluate("(() => { const slider = document.getElementById('player-slider'); slider.value = 3000; slider.dispatchEvent(new Event('input')); })()");
        Assert.Equal("idle", await browser.Evaluate(Idle));
        Assert.NotEqual(all, await Pixels());
        long before = long.Parse(await browser.Evaluate("document.getElementById('player-canvas').dataset.record"), CultureInfo.InvariantCulture);
        await browser.Click("#player-play");
        Assert.Equal("Pause", await browser.Evaluate("document.getElementById('player-play').textContent"));
        await browser.Evaluate("new Promise(done => setTimeout(done, 700))");
        await browser.Click("#player-play");
        await browser.Evaluate(Idle);
        Assert.True(long.Parse(await browser.Evaluate("document.getElementById('player-canvas').dataset.record"), CultureInfo.InvariantCulture) > before);

        // Zoom and back shows the same.
        await browser.Evaluate("document.getElementById('player-slider').value = 10000, document.getElementById('player-slider').dispatchEvent(new Event('input'))");
        await browser.Evaluate(Idle);
        await browser.Click("#player-zoom-in");
        await browser.Evaluate(Idle);
        await browser.Click("#player-zoom-all");
        await browser.Evaluate(Idle);
        all = await Pixels();
        await browser.Click("#player-zoom-in");
        await browser.Evaluate(Idle);
        Assert.NotEqual(all, await Pixels());
        await browser.Click("#player-zoom-all");
        await browser.Evaluate(Idle);
        Assert.Equal(all, await Pixels());
    }

    /// <summary>A million strokes: moved and played, half of the frames take no more than 33 ms, on the processor alone.</summary>
    [FactWith("chromium")]
    public async Task A_million_strokes_move_and_play()
    {
        var records = new StringBuilder();
        using WorkFolder folder = Drawn();
        string[] head = [.. Encoding.UTF8.GetString(folder.Run("decode", "chip.stream", "-q").Expect(0).OutputBytes).Split('\n').TakeWhile(line => !line.StartsWith("jump ", StringComparison.Ordinal) && !line.StartsWith("marker ", StringComparison.Ordinal) && !line.StartsWith("figure ", StringComparison.Ordinal))];
        records.AppendJoin('\n', head).Append('\n').Append("jump 1000 1000 100\n");
        for (int i = 0; i < 1_000_000; i++)
        {
            (int x, int y) = (1000 + i % 1000 * 60, 1000 + i / 1000 * 60);
            records.Append(CultureInfo.InvariantCulture, $"line {x} {y} {x + 45} {y + i % 7} 4 40\n");
        }

        records.Append("end 1000001 4000000 40000100\n");
        folder.With("many.records", records.ToString());
        folder.Run("preview", "many.records", "-q", "-o", "many.html").Expect(0);
        await browser.LookAt(folder["many.html"], 1280);
        Assert.Equal("idle", await browser.Evaluate(Idle));
        string[] frames = (await browser.Evaluate("""
            (async () => {
              const canvas = document.getElementById("player-canvas"), times = [];
              const press = key => canvas.dispatchEvent(new KeyboardEvent("keydown", { key }));
              const measure = async act => {
                const took = [];
                let before = await new Promise(requestAnimationFrame);
                for (let i = 0; i < 60; i++) {
                  act(i);
                  const now = await new Promise(requestAnimationFrame);
                  took.push(now - before);
                  before = now;
                }
                took.sort((a, b) => a - b);
                times.push(took[30].toFixed(1));
              };
              await measure(i => press(i % 4 < 2 ? "ArrowLeft" : "ArrowUp"));
              await measure(i => press(i % 10 < 5 ? "+" : "-"));
              press("0");
              document.getElementById("player-play").click();
              await measure(() => {});
              return times.join(" ");
            })()
            """)).Split(' ');
        Assert.All(frames, frame => Assert.InRange(double.Parse(frame, CultureInfo.InvariantCulture), 1, 34));
    }

    private async Task<string> Told(string id)
    {
        await browser.Evaluate(Idle);
        return (await browser.Evaluate($"[...document.getElementById('player-{id}').children].map(part => part.textContent).join(' ')")).Trim();
    }

    private Task<string> Pixels() => browser.Evaluate("(() => { const canvas = document.getElementById('player-canvas'), data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data; let sum = 0; for (let i = 0; i < data.length; i++) sum = (sum * 31 + data[i]) | 0; return String(sum); })()");

    private static string Grouped(string number) => long.Parse(number, CultureInfo.InvariantCulture).ToString("#,0", CultureInfo.InvariantCulture);

    private static WorkFolder Drawn()
    {
        WorkFolder folder = new WorkFolder().With("chip.layout", "layout 1\nunit um\nlayer pads\nrect on pads from (-3, -3) to (3, 3)\n");
        folder.Run("build", "chip.layout", "-q").Expect(0);
        folder.Run("preview", "chip.layout", "-q", "-o", "chip.html").Expect(0);
        return folder;
    }
}
