using System.Security.Cryptography;
using PatternCompiler.EndToEnd.Pages;

namespace PatternCompiler.EndToEnd;

/// <summary>The report of a build, looked at in a browser and checked by a validator.</summary>
public sealed class ReportTests(Browser browser) : IClassFixture<Browser>
{
    private const string Job = """
        job: chip & <friends> of the "lab"
        machine: settings/machine.yaml
        sources:
          - {file: chip.dxf, unit: um}
          - chip.layout
        outputs:
          - {file: out/chip.stream, format: stream}
          - {file: out/chip.npy, format: npy}
        report: out/chip.html

        """;

    [FactWith("chromium")]
    public async Task A_browser_shows_it_without_network_complaint_or_sideways_scrolling()
    {
        using WorkFolder folder = Built();
        foreach ((int width, bool isDark) in new[] { (360, false), (360, true), (1200, false) })
        {
            PageView page = await browser.LookAt(folder["out/chip.html"], width, isDark);
            Assert.Empty(page.Complaints);
            Assert.Empty(page.Fetched);
            Assert.Equal(0, page.Overflow);
            Assert.Empty(page.TornWords);
            Assert.Empty(page.UnhintedTables);
            Assert.Empty(page.CutTables);
            Assert.Equal(4, page.Pictures.Length);
            Assert.All(page.Pictures, picture =>
            {
                Assert.True(picture is { Width: >= 480, Height: > 200 }, $"{picture}");
                Assert.True(picture.Shown > 250 && picture.Shown < width, $"{picture}");
                Assert.False(string.IsNullOrWhiteSpace(picture.Alternative));
            });
            Assert.Empty(page.BrokenLinks);
            Assert.All(page.Links, link => Assert.StartsWith("#", link, StringComparison.Ordinal));
            Assert.Equal(0, page.SmallTexts);
            Assert.Equal(isDark, page.IsDark);
            Assert.InRange(page.Contrast, 7, 21);
            Assert.Contains("chip & <friends> of the \"lab\"", page.Text, StringComparison.Ordinal);
        }
    }

    [FactWith("chromium")]
    public async Task The_browser_would_notice_faults()
    {
        using WorkFolder folder = new WorkFolder().With(
            "bad.html",
            """
            <!DOCTYPE html><html lang="en"><head><meta name="viewport" content="width=device-width, initial-scale=1"><title>bad</title></head>
            <body style="color: #777; background: #888"><div style="width: 900px">wide</div><p style="font-size: 8px">small</p><a href="#gone">gone</a>
            <script src="missing.js"></script><script>console.error("fault")</script></body></html>
            """);
        PageView page = await browser.LookAt(folder["bad.html"], 360);
        Assert.Contains(page.Complaints, complaint => complaint.Contains("fault", StringComparison.Ordinal));
        Assert.EndsWith("missing.js", Assert.Single(page.Fetched), StringComparison.Ordinal);
        Assert.True(page.Overflow > 500);
        Assert.Single(page.BrokenLinks);
        Assert.Equal(1, page.SmallTexts);
        Assert.InRange(page.Contrast, 1, 2);
    }

    [FactWith("npm")]
    public void A_validator_finds_no_fault()
    {
        using WorkFolder folder = Built();
        Assert.Empty(HtmlValidator.Check(folder["out/chip.html"]));
        folder.With("bad.html", "<!DOCTYPE html><html lang=\"en\"><head><title>a</title></head><body><p><div></div></body></html>");
        Assert.NotEmpty(HtmlValidator.Check(folder["bad.html"]));
    }

    [Fact]
    public void It_tells_what_went_in_and_out_and_what_was_left_out()
    {
        using WorkFolder folder = Built();
        string page = Text(folder.Read("out/chip.html")).Replace("<wbr>", "", StringComparison.Ordinal);
        foreach (string name in (string[])["job.yaml", "settings/machine.yaml", "chip.dxf", "chip.layout", "out/chip.stream", "out/chip.npy"])
        {
            Assert.Contains(Convert.ToHexStringLower(SHA256.HashData(folder.Read(name))), page, StringComparison.Ordinal);
            Assert.Contains($"{name} (", page, StringComparison.Ordinal);
        }

        Assert.Contains("PC0385 entity lost", page, StringComparison.Ordinal);
        Assert.Contains("not exposed: 1 TEXT on layer NOTES", page, StringComparison.Ordinal);
        Assert.DoesNotContain(folder.Path, page, StringComparison.Ordinal);

        // 16 µm² of the drawing at the built-in dose of 300 µC/cm² are 48 pC.
        Assert.Contains("<th scope=\"row\">PADS</th>\n<td>areas</td>\n<td class=\"number\">1</td>\n<td class=\"number\">16\u00A0µm²</td>\n<td class=\"number\">300\u00A0µC/cm²</td>\n<td class=\"number\">300\u00A0µC/cm²</td>\n<td class=\"number\">48\u00A0pC</td>", page, StringComparison.Ordinal);
    }

    [Fact]
    public void The_same_input_gives_the_same_page_anywhere()
    {
        using WorkFolder first = Built();
        using WorkFolder second = Prepared("below/");
        Executable.Run(second.Path, ["build", "below/job.yaml"], environment: new Dictionary<string, string?> { ["LC_ALL"] = "de_DE.UTF-8", ["DOTNET_PROCESSOR_COUNT"] = "1" }).Expect(0);
        Assert.Equal(Text(first.Read("out/chip.html")), Text(second.Read("below/out/chip.html")));
    }

    [Fact]
    public void An_option_asks_for_it_too_and_a_failure_leaves_none()
    {
        using WorkFolder folder = new WorkFolder().With("chip.layout", Patterns.Layout);
        Outcome outcome = folder.Run("build", "chip.layout", "--report", "chip.html").Expect(0);
        Assert.Matches("wrote chip\\.html \\(report, [0-9.]+ kB\\)\n", outcome.Errors);
        Assert.Equal(["chip.html", "chip.layout", "chip.stream"], folder.Entries);
        File.Delete(folder["chip.html"]);
        File.Delete(folder["chip.stream"]);
        folder.With("far.layout", "layout 1\nunit um\nlayer a\nrect on a from (0, 0) to (900, 900)\n");
        folder.Run("build", "far.layout", "--report", "far.html").Expect(1);
        Assert.Equal(["chip.layout", "far.layout"], folder.Entries);
    }

    [FactWith("chromium", "npm")]
    public async Task The_index_of_a_batch_leads_to_its_reports()
    {
        using WorkFolder folder = Prepared("").With("bad.yaml", "job: bad\nsources: [missing.layout]\noutputs: [{file: bad.stream, format: stream}]\n");
        folder.Run("batch", "job.yaml", "bad.yaml", "--report", "pages/new").Expect(4);
        string index = folder["pages/new/index.html"];
        Assert.Empty(HtmlValidator.Check(index));
        Assert.Empty(HtmlValidator.Check(folder["pages/new/job.html"]));
        foreach (int width in (int[])[360, 1200])
        {
            PageView page = await browser.LookAt(index, width);
            Assert.Empty(page.Complaints);
            Assert.Empty(page.Fetched);
            Assert.Equal(0, page.Overflow);
            Assert.Empty(page.TornWords);
            Assert.Empty(page.UnhintedTables);
            Assert.Empty(page.CutTables);
            Assert.Empty(page.BrokenLinks);
            Assert.Equal(["#failures", "job.html", "job.html", "#failures"], page.Links);
            Assert.Contains("1 job failed", page.Text.Replace('\u00A0', ' '), StringComparison.Ordinal);
            Assert.Contains("missing.layout", page.Text, StringComparison.Ordinal);
        }

        folder.Run("batch", "job.yaml", "--report", "pages/new").Expect(0);
        string text = Text(folder.Read("pages/new/index.html"));
        Assert.Contains("<span class=\"fits\">up to date</span>", text, StringComparison.Ordinal);
        Assert.Contains("<span class=\"given\">outputs unchanged</span>", text, StringComparison.Ordinal);
        Assert.Empty(HtmlValidator.Check(index));
    }

    [Fact]
    public void A_faulty_drawing_ends_the_build_though_its_sender_goes_on()
    {
        using WorkFolder folder = new WorkFolder();
        Outcome outcome = Executable.Shell(folder.Path, "{ echo 'layout 1'; echo 'nonsense'; yes '# and so on'; } | patternc build - --report page.html; exit ${PIPESTATUS[1]}");
        outcome.Expect(1);
        Assert.Empty(folder.Entries);
    }

    private static WorkFolder Built()
    {
        WorkFolder folder = Prepared("");
        folder.Run("build", "job.yaml").Expect(0);
        return folder;
    }

    private static WorkFolder Prepared(string below)
    {
        WorkFolder folder = new WorkFolder().With(below + "job.yaml", Job).With(below + "chip.dxf", Patterns.Dxf).With(below + "chip.layout", Patterns.Layout);
        folder.With(below + "settings/machine.yaml", folder.Run("build", "--print-defaults", "machine").Expect(0).OutputBytes);
        return folder;
    }

    private static string Text(byte[] bytes) => System.Text.Encoding.UTF8.GetString(bytes);
}
