using System.Text;
using PatternCompiler.EndToEnd.Pages;

namespace PatternCompiler.EndToEnd;

/// <summary>The comparison of two folders as a page with pictures.</summary>
public sealed class ComparePageTests(Browser browser) : IClassFixture<Browser>
{
    private const string Square = "layout 1\nunit um\nlayer pads\nrect on pads from (0, 0) to (1, 1)\n";
    private const string Moved = "layout 1\nunit um\nlayer pads\nrect on pads from (0.1, 0) to (1.1, 1)\n";

    [FactWith("chromium", "npm")]
    public async Task A_browser_and_two_checkers_find_no_fault()
    {
        using WorkFolder folder = WithOutputs();
        folder.Run("compare", "golden", "out", "--report", "changes.html").Expect(1);
        Assert.Empty(HtmlValidator.Check(folder["changes.html"]));
        foreach ((int width, bool isDark) in new[] { (390, true), (1280, false) })
        {
            PageView page = await browser.LookAt(folder["changes.html"], width, isDark);
            Assert.Empty(page.Complaints);
            Assert.Empty(page.Fetched);
            Assert.Equal(0, page.Overflow);
            Assert.Empty(page.TornWords);
            Assert.Empty(page.UnhintedTables);
            Assert.Empty(page.CutTables);
            Assert.Empty(page.BrokenLinks);
            Assert.Equal(0, page.SmallTexts);
            Assert.Equal(6, page.Pictures.Length);
            Assert.Contains("1 the same, 3 differ, 1 missing, 1 new.", page.Text, StringComparison.Ordinal);
            Assert.Empty(await browser.Accessibility(HtmlValidator.AccessibilityScript));
        }
    }

    [Fact]
    public void Every_file_is_there_with_both_pictures_and_the_difference_of_what_has_changed()
    {
        using WorkFolder folder = WithOutputs();
        Outcome plain = folder.Run("compare", "golden", "out").Expect(1);
        Outcome outcome = folder.Run("compare", "golden", "out", "--report", "changes.html").Expect(1);
        Assert.Equal((plain.Output, plain.Errors), (outcome.Output, outcome.Errors));
        string page = Encoding.UTF8.GetString(folder.Read("changes.html"));
        foreach (string file in (string[])["gone.layout", "sub/new.layout", "chip.stream", "moved.layout", "notes.txt", "same.layout"])
        {
            Assert.Contains($">{file}</", page.Replace($">{file}\n", $">{file}", StringComparison.Ordinal), StringComparison.Ordinal);
        }

        // A square of 1 µm moved by 0.1 µm: 0.1 µm² only here, 0.1 µm² only there.
        Assert.Contains("<li>layer pads: dose 1: area 1 um2 | 1 um2, 0.2 um2 differ</li>", page, StringComparison.Ordinal);
        Assert.Contains("only the first", page, StringComparison.Ordinal);
        Assert.Contains("more in the second", page, StringComparison.Ordinal);
        Assert.Contains("the bytes differ; this is no document that is compared further", page, StringComparison.Ordinal);
        Assert.DoesNotContain(folder.Path, page, StringComparison.Ordinal);
        folder.Run("compare", "golden", "out", "--report", "again.html").Expect(1);
        Assert.Equal(folder.Read("changes.html"), folder.Read("again.html"));
    }

    [Fact]
    public void Pictures_are_bounded_and_the_rest_is_told()
    {
        var folder = new WorkFolder();
        using (folder)
        {
            for (int i = 0; i < 14; i++)
            {
                folder.With($"golden/{i:00}.layout", Square).With($"out/{i:00}.layout", Moved);
            }

            folder.Run("compare", "golden", "out", "--report", "changes.html").Expect(1);
            string page = Encoding.UTF8.GetString(folder.Read("changes.html"));
            Assert.Equal(12 * 3, page.Split("<img ").Length - 1);
            Assert.Equal(2, page.Split("No pictures: the first 12\u00A0files that differ have some").Length - 1);
        }
    }

    [Fact]
    public void Two_documents_and_what_is_accepted_have_a_page_too()
    {
        using WorkFolder folder = new WorkFolder().With("golden/a.layout", Square).With("out/a.layout", Moved);
        folder.Run("compare", "golden/a.layout", "out/a.layout", "--report", "two.html").Expect(1);
        Assert.Contains("only the second", Encoding.UTF8.GetString(folder.Read("two.html")), StringComparison.Ordinal);
        folder.Run("compare", "golden", "out", "--accept", "--report", "taken.html").Expect(0);
        Assert.Contains("0 the same, 1 differ", Encoding.UTF8.GetString(folder.Read("taken.html")), StringComparison.Ordinal);
        folder.Run("compare", "golden", "out", "--report", "same.html").Expect(0);
        Assert.DoesNotContain("<img ", Encoding.UTF8.GetString(folder.Read("same.html")), StringComparison.Ordinal);
        Assert.Equal(
            "patternc compare: error PC0001: --report needs two files: standard input can be read only once; save the document first\n",
            folder.Run("compare", "-", "out/a.layout", "--report", "x.html").Expect(2).Errors);
    }

    private static WorkFolder WithOutputs()
    {
        WorkFolder folder = new WorkFolder()
            .With("golden/gone.layout", Square).With("golden/moved.layout", Square).With("golden/notes.txt", "old\n").With("golden/same.layout", Square)
            .With("out/moved.layout", Moved).With("out/notes.txt", "new\n").With("out/same.layout", Square).With("out/sub/new.layout", Square);
        folder.Run("build", "golden/moved.layout", "-o", "golden/chip.stream").Expect(0);
        folder.Run("build", "out/moved.layout", "-o", "out/chip.stream").Expect(0);
        return folder;
    }
}
