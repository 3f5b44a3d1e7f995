using System.Text;
using System.Text.RegularExpressions;
using PatternCompiler.EndToEnd.Pages;

namespace PatternCompiler.EndToEnd;

/// <summary>The index of a batch in a browser: sorted and filtered by mouse and keyboard, with the predicted prints side by side.</summary>
public sealed partial class BatchIndexTests(Browser browser) : IClassFixture<Browser>
{
    private const string Series = """
        batch: dose and gap
        jobs: job.yaml
        vary:
          dose: [90 uC/cm2, 300 uC/cm2, 1000 uC/cm2]
          parameters: {gap: [0.2 um, 1 um]}

        """;

    private const string Job = "job: comb\nsources: [{file: comb.layout, parameters: {gap: 0.2 um}}]\noutputs: [{file: comb.stream, format: stream}]\n";

    private const string Comb = "layout 1\nunit um\nlet gap = 1 um\nlayer lines\nrepeat 3 as i\n  rect on lines at (i * (0.5 + gap), 0) size (0.5, 2)\nend\n";

    [FactWith("chromium", "npm")]
    public async Task A_browser_and_two_checkers_find_no_fault()
    {
        using WorkFolder folder = Built();
        Assert.Empty(HtmlValidator.Check(folder["pages/index.html"]));
        foreach ((int width, bool isDark) in new[] { (390, false), (390, true), (1280, false), (1280, true) })
        {
            PageView page = await browser.LookAt(folder["pages/index.html"], width, isDark);
            Assert.Empty(page.Complaints);
            Assert.Empty(page.Fetched);
            Assert.Equal(0, page.Overflow);
            Assert.Empty(page.TornWords);
            Assert.Empty(page.UnhintedTables);
            Assert.Empty(page.CutTables);
            Assert.Empty(page.BrokenLinks);
            Assert.Equal(0, page.SmallTexts);
            Assert.Equal(isDark, page.IsDark);
            Assert.Equal(6, page.Pictures.Length);
            Assert.All(page.Pictures, picture => Assert.True(picture is { Width: 200, Height: 160, Shown: > 100, Alternative.Length: > 20 }, $"{picture}"));
            Assert.All(page.Links.Where(link => !link.StartsWith('#')), link => Assert.True(File.Exists(folder["pages/" + Uri.UnescapeDataString(link)]), link));
            Assert.Equal(width == 390, page.Text.Contains("scroll it sideways", StringComparison.Ordinal));
            Assert.Empty(await browser.Accessibility(HtmlValidator.AccessibilityScript));

            // No word of the table is broken: each is no wider than its cell and on one line.
            Assert.Equal("", await browser.Evaluate(BrokenWords));
        }
    }

    [FactWith("chromium", "npm")]
    public async Task The_checker_of_accessibility_would_notice_faults()
    {
        using WorkFolder folder = new WorkFolder().With(
            "bad.html", "<!DOCTYPE html><html><head><title>bad</title></head><body style=\"background: #888\"><p style=\"color: #777\">faint</p><input></body></html>");
        await browser.LookAt(folder["bad.html"], 1280);
        string faults = await browser.Accessibility(HtmlValidator.AccessibilityScript);
        foreach (string rule in (string[])["color-contrast", "label", "html-has-lang"])
        {
            Assert.Contains(rule + ":", faults, StringComparison.Ordinal);
        }
    }

    [FactWith("chromium")]
    public async Task Heads_sort_by_mouse_and_keyboard_and_a_third_press_undoes()
    {
        using WorkFolder folder = Built();
        await browser.LookAt(folder["pages/index.html"], 1280);
        string[] order = await Column(3);
        Assert.Equal(["90", "90", "300", "300", "1000", "1000"], order.Select(Number));

        await browser.Click("#job-table th:nth-child(3) button");
        Assert.Equal("ascending", await SortOf(3));
        await browser.Click("#job-table th:nth-child(3) button");
        Assert.Equal("descending", await SortOf(3));

        // As numbers: 1000 before 300 before 90. Equal ones stay in the order of the batch.
        Assert.Equal(["1000", "1000", "300", "300", "90", "90"], (await Column(3)).Select(Number));
        Assert.Equal(["0.2", "1", "0.2", "1", "0.2", "1"], (await Column(4)).Select(Number));

        // By keyboard: focus goes on to the next head, Enter and Space press it.
        await browser.Press("Tab");
        await browser.Press("Enter");
        Assert.Equal(("none", "ascending"), (await SortOf(3), await SortOf(4)));
        Assert.Equal(["0.2", "0.2", "0.2", "1", "1", "1"], (await Column(4)).Select(Number));
        Assert.Equal(["90", "300", "1000", "90", "300", "1000"], (await Column(3)).Select(Number));
        await browser.Press("Space");
        await browser.Press("Space");
        Assert.Equal("none", await SortOf(4));
        Assert.Equal(order, await Column(3));
    }

    [FactWith("chromium")]
    public async Task Rows_are_found_by_words_and_by_state()
    {
        using WorkFolder folder = Built();
        File.WriteAllText(folder["bad.yaml"], "job: bad\nsources: [missing.layout]\noutputs: [{file: bad.stream, format: stream}]\n");
        folder.Run("batch", "job.yaml", "bad.yaml", "--report", "mixed").Expect(4);
        await browser.LookAt(folder["mixed/index.html"], 1280);
        Assert.Equal("2", await browser.Evaluate(VisibleRows));
        await browser.Evaluate("document.getElementById('job-state').focus()");
        await browser.Evaluate("(() => { const state = document.getElementById('job-state'); state.value = 'failed'; state.dispatchEvent(new Event('change')); })()");
        Assert.Equal(("1", "1 of 2 shown"), (await browser.Evaluate(VisibleRows), await browser.Evaluate("document.getElementById('job-count').textContent")));

        await browser.LookAt(folder["pages/index.html"], 1280);
        await browser.Evaluate("document.getElementById('job-words').focus()");
        foreach (char key in "300 uc")
        {
            await browser.Press(key == ' ' ? "Space" : key.ToString());
        }

        Assert.Equal("2", await browser.Evaluate(VisibleRows));
    }

    [Fact]
    public void Prints_are_laid_by_dose_and_gap_with_their_verdicts_and_the_page_is_the_same_again()
    {
        using WorkFolder folder = Built();
        string page = Page(folder);
        Assert.Contains("<caption>Predicted prints: dose from top to bottom, gap from left to right</caption>", page, StringComparison.Ordinal);
        Assert.Equal(6, Thumbnail().Count(page));

        // At 90 µC/cm² nothing of the built-in resist prints; at 300 it prints as drawn.
        Assert.Contains("<b class=\"doubt-text\">3 lost figures</b><span class=\"given\">dose 90\u00A0µC/cm², gap 1\u00A0µm</span>", page, StringComparison.Ordinal);
        Assert.Contains("<b class=\"fits\">sound</b><span class=\"given\">dose 300\u00A0µC/cm², gap 1\u00A0µm</span>", page, StringComparison.Ordinal);
        Assert.InRange(page.Length, 20_000, 300_000);

        // What was predicted is remembered: a page of builds that are up to date shows the same prints, and twice the same bytes.
        folder.Run("batch", "series.yaml", "--report", "pages").Expect(0);
        string idle = Page(folder);
        Assert.Contains("up to date", idle, StringComparison.Ordinal);
        Assert.Equal(Thumbnail().Matches(page).Select(match => match.Value), Thumbnail().Matches(idle).Select(match => match.Value));
        folder.Run("batch", "series.yaml", "--report", "pages", "--parallel", "1").Expect(0);
        Assert.Equal(idle, Page(folder));
    }

    private const string VisibleRows = "[...document.getElementById('job-table').tBodies[0].rows].filter(row => row.getClientRects().length > 0).length";

    private const string BrokenWords = """
        (() => {
          const range = document.createRange();
          const broken = [];
          const walk = document.createTreeWalker(document.getElementById('job-table'), NodeFilter.SHOW_TEXT);
          while (walk.nextNode()) {
            for (const match of walk.currentNode.data.matchAll(/[^\s\-\/]+/g)) {
              range.setStart(walk.currentNode, match.index);
              range.setEnd(walk.currentNode, match.index + match[0].length);
              const tops = new Set([...range.getClientRects()].map(box => Math.round(box.top)));
              if (tops.size > 1) broken.push(match[0]);
            }
          }
          return broken.join(' ');
        })()
        """;

    private async Task<string[]> Column(int number) => (await browser.Evaluate($"[...document.getElementById('job-table').tBodies[0].rows].map(row => row.cells[{number - 1}].textContent).join('|')")).Split('|');

    private Task<string> SortOf(int number) => browser.Evaluate($"document.querySelector('#job-table th:nth-child({number})').getAttribute('aria-sort')");

    private static string Number(string text) => text.Split('\u00A0')[0];

    private static string Page(WorkFolder folder) => Encoding.UTF8.GetString(folder.Read("pages/index.html"));

    private static WorkFolder Built()
    {
        WorkFolder folder = new WorkFolder().With("series.yaml", Series).With("job.yaml", Job).With("comb.layout", Comb);
        folder.Run("batch", "series.yaml", "--report", "pages").Expect(0);
        return folder;
    }

    [GeneratedRegex("data:image/png;base64,[A-Za-z0-9+/=]+")]
    private static partial Regex Thumbnail();
}
