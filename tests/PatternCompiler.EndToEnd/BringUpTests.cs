using System.Net;
using PatternCompiler.EndToEnd.Pages;

namespace PatternCompiler.EndToEnd;

/// <summary>The folder of a bring-up: all of it or nothing, the same each time, and a page that a browser shows and a validator finds valid.</summary>
public sealed class BringUpTests(Browser browser) : IClassFixture<Browser>
{
    private const string Machine = """
        machine: bench <one> & "two"
        dac: {bits: 12, lowest: -10 V, highest: 10 V, coding: two's complement}
        deflection: {field: 80 um}
        settle: {fixed: 20 us, time_constant: 5 us}
        clock: {rate: 1 MHz, shortest_dwell: 2 ticks, longest_dwell: 65535 ticks}
        blanker: {active: low, off_delay: 3 us, on_delay: 1 us, scan_enable_delay: 2 ms}
        beam: {current: 1 nA, spot: 20 nm, energy: 30 keV}
        link: {rate: 1 MB/s, buffer: 16 KiB}

        """;

    private static WorkFolder Folder() => new WorkFolder().With("m.yaml", Machine);

    [Fact]
    public void A_folder_of_streams_pictures_and_a_page_is_written_the_same_each_time()
    {
        using WorkFolder folder = Folder();
        Outcome outcome = folder.Run("generate", "bring-up", "bench", "--machine", "m.yaml").Expect(0);
        string[] entries = [.. folder.Entries.Where(entry => entry.StartsWith("bench/", StringComparison.Ordinal))];
        Assert.Equal($"wrote {entries.Length} files; begin with bench/index.html\n", outcome.Errors);
        Assert.Empty(outcome.Output);
        Assert.Equal(15, entries.Count(entry => entry.EndsWith(".stream", StringComparison.Ordinal)));
        folder.Run("generate", "bring-up", "again/and/again", "--machine", "m.yaml", "-q").Expect(0);
        Assert.All(entries, entry => Assert.Equal(folder.Read(entry), folder.Read("again/and/again" + entry[5..])));
    }

    [Fact]
    public void Streams_are_of_this_machine_and_of_no_other()
    {
        using WorkFolder folder = Folder();
        folder.Run("generate", "bring-up", "bench", "--machine", "m.yaml").Expect(0);
        foreach (string stream in folder.Entries.Where(entry => entry.EndsWith(".stream", StringComparison.Ordinal)))
        {
            folder.Run("preview", stream, "--traces", "--machine", "m.yaml", "-q", "-o", "a.svg").Expect(0);
        }

        Assert.Contains("\"stalls\": 0,", folder.Run("estimate", "bench/05-circle.stream", "--machine", "m.yaml", "--other-settings", "--json", "-q").Expect(0).Output, StringComparison.Ordinal);
        folder.Run("preview", "bench/01-hold.stream", "--traces", "--machine", folder.With("other.yaml", Machine.Replace("80 um", "90 um", StringComparison.Ordinal))["other.yaml"], "-q", "-o", "b.svg").Expect(1);
        Assert.DoesNotContain("b.svg", folder.Entries);
    }

    [Fact]
    public void Nothing_is_overwritten_unless_asked_and_nothing_is_left_where_it_fails()
    {
        using WorkFolder folder = Folder().With("bench/05-circle.stream", "kept");
        string[] before = folder.Entries;
        Assert.Equal(
            "bench/05-circle.stream: error PC0012: the file is there already; choose another folder, or overwrite with --force\n",
            folder.Run("generate", "bring-up", "bench", "--machine", "m.yaml").Expect(4).Errors);
        Assert.Equal(before, folder.Entries);
        folder.Run("generate", "bring-up", "bench", "--machine", "m.yaml", "--force").Expect(0);
        Assert.NotEqual("kept"u8.ToArray(), folder.Read("bench/05-circle.stream"));

        folder.With("narrow.yaml", Machine.Replace("80 um", "80 um, usable_x: [2040, 2055]", StringComparison.Ordinal));
        Assert.Equal(
            "error PC5006: the outputs may move over 16 codes, a bring-up needs more than 64; correct 'usable_x' and 'usable_y' in the machine file\n",
            folder.Run("generate", "bring-up", "none", "--machine", "narrow.yaml").Expect(1).Errors);
        Directory.CreateDirectory(folder["half/15-scrap-circle.svg"]);
        before = folder.Entries;
        folder.Run("generate", "bring-up", "half", "--machine", "m.yaml").Expect(4);
        Assert.Equal(before, folder.Entries);
        Assert.Contains("error", folder.Run("generate", "bring-up").Expect(2).Errors, StringComparison.Ordinal);
        Assert.Contains("--line-dose", folder.Run("generate", "bring-up", "x", "--line-dose", "0 nC/cm").Expect(2).Errors, StringComparison.Ordinal);
    }

    [FactWith("chromium")]
    public async Task A_browser_shows_the_page_without_network_complaint_or_sideways_scrolling()
    {
        using WorkFolder folder = Folder();
        folder.Run("generate", "bring-up", "bench", "--machine", "m.yaml", "-q").Expect(0);
        foreach ((int width, bool isDark) in new[] { (360, false), (360, true), (1200, false) })
        {
            PageView page = await browser.LookAt(folder["bench/index.html"], width, isDark);
            Assert.Empty(page.Complaints);
            Assert.All(page.Fetched, url => Assert.StartsWith(new Uri(folder["bench"]).AbsoluteUri + "/", url, StringComparison.Ordinal));
            Assert.Equal(0, page.Overflow);
            Assert.Empty(page.TornWords);
            Assert.Empty(page.UnhintedTables);
            Assert.Empty(page.CutTables);
            Assert.Empty(page.BrokenLinks);
            Assert.True(page.Pictures.Length >= 15);
            Assert.All(page.Pictures, picture =>
            {
                Assert.True(picture is { Width: 960, Height: >= 540 }, $"{picture}");
                Assert.True(picture.Shown > 250 && picture.Shown < width, $"{picture}");
                Assert.StartsWith("Expected waveforms of step ", picture.Alternative, StringComparison.Ordinal);
            });
            Assert.All(
                page.Links.Where(link => link[0] != '#'),
                link => Assert.True(File.Exists(folder["bench/" + WebUtility.UrlDecode(link)]), link));
            Assert.Equal(0, page.SmallTexts);
            Assert.Equal(isDark, page.IsDark);
            Assert.InRange(page.Contrast, 7, 21);
            Assert.Contains("bench <one> & \"two\"", page.Text, StringComparison.Ordinal);
            foreach (string caution in (string[])["High voltage:", "X-rays:", "Vacuum:", "licensed"])
            {
                Assert.Contains(caution, page.Text, StringComparison.Ordinal);
            }

            int[] order = [.. new[] { "No beam", "Dummy load", "Beam on scrap" }.Select(title => page.Text.IndexOf("\n" + title + "\n", StringComparison.Ordinal))];
            Assert.True(order[0] > 0 && order[0] < order[1] && order[1] < order[2], string.Join(' ', order));
        }
    }

    [FactWith("npm")]
    public void A_validator_finds_no_fault_in_the_page()
    {
        using WorkFolder folder = Folder().With("none.yaml", Machine.Replace("{active: low, off_delay: 3 us, on_delay: 1 us, scan_enable_delay: 2 ms}", "none", StringComparison.Ordinal).Replace("buffer: 16 KiB", "blocks: 1", StringComparison.Ordinal));
        foreach (string machine in (string[])["m.yaml", "none.yaml"])
        {
            folder.Run("generate", "bring-up", machine[..1], "--machine", machine, "-q").Expect(0);
            Assert.Empty(HtmlValidator.Check(folder[machine[..1] + "/index.html"]));
        }
    }
}
