using System.Text;
using System.Text.Json;

namespace PatternCompiler.EndToEnd;

/// <summary>Names of layers, cells and files hold whatever their makers wrote; they are shown, and do nothing.</summary>
public sealed class HostileNamesTests
{
    private const string Rectangle = "unit um\nlayer a\nrect on a from (0, 0) to (1, 1)\n";

    // Writes the clipboard of a terminal that obeys it, and turns the rest of the line around.
    private const string Clipboard = "\u001b]52;c;cm0gLXJmIC8K\u0007\u202e";

    [Fact]
    public void Control_characters_of_a_layer_reach_no_terminal()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", $"layout 1\nunit um\nlayer \"x{Clipboard}\"\nrect on \"x{Clipboard}\" from (0, 0) to (900, 1)\n");
        Outcome summary = folder.Run("parse", "a.layout", "-s").Expect(0);
        Assert.Contains("\nx\\u{1B}]52;c;cm0gLXJmIC8K\\u{7}\\u{202E} ", summary.Output, StringComparison.Ordinal);
        Outcome built = folder.Run("build", "a.layout").Expect(1);
        Assert.StartsWith("a.layout:4 (rect on layer x\\u{1B}]52;c;cm0gLXJmIC8K\\u{7}\\u{202E}, figure 0 at (450, 0.5) um): error PC1601: ", built.Errors, StringComparison.Ordinal);
        foreach (string text in new[] { summary.Output, built.Errors, folder.Run("parse", "a.layout").Output, folder.Run("fracture", "a.layout").Output })
        {
            Assert.DoesNotContain('\u001b', text);
            Assert.DoesNotContain('\u202e', text);
        }
    }

    [Fact]
    public void A_name_goes_through_the_text_forms_unchanged()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", $"layout 1\nunit um\nlayer \"x{Clipboard}\\\\u{{1B}}\"\nrect on \"x{Clipboard}\\\\u{{1B}}\" from (0, 0) to (1, 1)\n");
        byte[] once = folder.Run("parse", "a.layout").Expect(0).OutputBytes;
        Assert.Equal(once, folder.Pipe(once, "parse").Expect(0).OutputBytes);
        using JsonDocument before = JsonDocument.Parse(folder.Run("parse", "a.layout", "-s", "--json").Expect(0).OutputBytes);
        using JsonDocument after = JsonDocument.Parse(folder.Pipe(once, "parse", "-s", "--json").Expect(0).OutputBytes);
        string? name = before.RootElement.GetProperty("layers")[0].GetProperty("name").GetString();
        Assert.Equal($"x{Clipboard}\\u{{1B}}", name);
        Assert.Equal(name, after.RootElement.GetProperty("layers")[0].GetProperty("name").GetString());
    }

    [Fact]
    public void A_line_break_in_a_file_name_does_not_part_the_message()
    {
        using var folder = new WorkFolder();
        Assert.Equal("a\\u{A}b: error PC0002: there is no such file; check the name\n", folder.Run("parse", "a\nb").Expect(4).Errors);
    }

    [Fact]
    public void A_report_shows_names_and_holds_no_control_character()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", $"layout 1\nunit um\nlayer \"x{Clipboard}\"\nrect on \"x{Clipboard}\" from (0, 0) to (1, 1)\n");
        folder.Run("build", "a.layout", "--report", "r.html").Expect(0);
        string page = Encoding.UTF8.GetString(folder.Read("r.html"));
        Assert.Contains("x\\u{1B}]52;c;cm0gLXJmIC8K\\u{7}\\u{202E}", page, StringComparison.Ordinal);
        Assert.DoesNotContain(page, c => (char.IsControl(c) && c != '\n') || c == '\u202e');
        folder.Run("preview", "a.layout", "--title", Clipboard, "-o", "p.svg").Expect(0);
        Assert.DoesNotContain(Encoding.UTF8.GetString(folder.Read("p.svg")), c => (char.IsControl(c) && c != '\n') || c == '\u202e');
    }

    [Theory]
    [InlineData("machine: ")]
    [InlineData("sources: [")]
    [InlineData("outputs: [{file: x, format: ")]
    [InlineData("grid: ")]
    public void A_huge_scalar_is_not_quoted_whole(string before)
    {
        string after = before.Contains('[', StringComparison.Ordinal) ? before.Contains('{', StringComparison.Ordinal) ? "}]" : "]" : "";
        using WorkFolder folder = new WorkFolder().With("job.yaml", $"job: j\n{(before.StartsWith("sources", StringComparison.Ordinal) ? "" : "sources: [a.layout]\n")}{before}{new string('y', 4 << 20)}{after}\n");
        Outcome outcome = folder.Run("build", "job.yaml");
        Assert.True(outcome.ExitCode is 1 or 4, outcome.Errors.Length > 3000 ? outcome.Errors[..3000] : outcome.Errors);
        Assert.InRange(outcome.Errors.Length, 20, 3000);
    }

    [Fact]
    public void A_file_that_is_no_settings_is_not_quoted_whole()
    {
        using WorkFolder folder = new WorkFolder().With("job.yaml", "job: j\nmachine: /etc/passwd\nsources: [a.layout]\n");
        Assert.InRange(folder.Run("build", "job.yaml").Expect(1).Errors.Length, 20, 1500);
    }

    [Fact]
    public void Make_is_never_given_a_name_that_it_would_run()
    {
        string source = "x=\nall:;id>HERE";
        using WorkFolder folder = new WorkFolder()
            .With(source, "layout 1\n" + Rectangle)
            .With("job.yaml", "job: j\nsources: [\"x=\\nall:;id>HERE\"]\noutputs: [{file: a.stream, format: stream}]\n");
        Outcome outcome = folder.Run("batch", "job.yaml", "--depfile", "a.d", "-q").Expect(1);
        Assert.Equal(
            "x=\\u{A}all:;id>HERE: error PC6060: make and ninja cannot read this name from a dependency file: it has '='; rename the file, or leave out --depfile\n", outcome.Errors);
        Assert.DoesNotContain("a.d", folder.Entries);
    }

    [Fact]
    public void Names_that_are_not_UTF_8_are_read_made_listed_and_told()
    {
        if (!OperatingSystem.IsLinux())
        {
            return;
        }

        using WorkFolder folder = new WorkFolder().With("a.layout", "layout 1\n" + Rectangle);
        try
        {
            TryNames(folder);
        }
        finally
        {
            // The runtime cannot remove what it cannot name.
            Executable.Shell(folder.Path, "rm -rf -- *");
        }
    }

    private static void TryNames(WorkFolder folder)
    {
        Shell(folder, "mkdir $'d\\xff' $'d\\xff/old' $'d\\xff/new'; cp a.layout $'d\\xff/in\\xfe.layout'; cp a.layout $'d\\xff/old/o\\xfd.layout'; cp a.layout $'d\\xff/new/o\\xfd.layout'; cp a.layout $'d\\xff/new/n\\xfd.layout'");
        byte[] expected = folder.Run("fracture", "a.layout").Expect(0).OutputBytes;

        // Through a folder, from inside it, from a file of words, and over an old file.
        Shell(folder, "patternc fracture $'d\\xff/in\\xfe.layout' -o $'d\\xff/out\\xfe.figures'; cmp <(patternc fracture a.layout) $'d\\xff/out\\xfe.figures'");
        Shell(folder, "cd $'d\\xff'; patternc fracture $'in\\xfe.layout' -o plain.figures; patternc fracture $'in\\xfe.layout' -o plain.figures; cmp plain.figures $'out\\xfe.figures'");
        Shell(folder, "printf 'fracture d\\xff/in\\xfe.layout' > words; patternc @words | cmp - $'d\\xff/out\\xfe.figures'");
        Shell(folder, "cd $'d\\xff'; patternc build $'in\\xfe.layout' -q --keep k --report $'r\\xfe.html'; test -e $'in\\xfe.stream' -a -e $'k/in\\xfe.strokes' -a -e $'r\\xfe.html'");
        Assert.Equal(expected, Executable.Shell(folder.Path, "cat $'d\\xff/out\\xfe.figures'").OutputBytes);
        Assert.Empty(Executable.Shell(folder.Path, "find . -name '*.partial'; find . -name $'*\\xef\\xbf\\xbd*'").Output);

        Outcome missing = Executable.Shell(folder.Path, "patternc parse $'d\\xff/no\\xfe'").Expect(4);
        Assert.Equal("d\\x{FF}/no\\x{FE}: error PC0002: there is no such file; check the name\n", missing.Errors);
        Outcome compared = Executable.Shell(folder.Path, "patternc compare $'d\\xff/old' $'d\\xff/new'").Expect(1);
        Assert.Equal("only in the second  n\\x{FD}.layout\n", compared.Output);
        Shell(folder, "patternc compare $'d\\xff/old' $'d\\xff/new' --accept -q; cmp $'d\\xff/old/n\\xfd.layout' a.layout");

        Shell(folder, "printf 'job: j\\nsources: [../a.layout]\\noutputs: [{file: b.stream, format: stream}]\\n' > $'d\\xff/j\\xfe.yaml'");
        Outcome batch = Executable.Shell(folder.Path, "patternc batch $'d\\xff/*.yaml' --json r.json --depfile r.d --report $'rep\\xff' --explain").Expect(0);
        Assert.Contains("built d\\x{FF}/j\\x{FE}.yaml: it has not been built yet\n", batch.Errors, StringComparison.Ordinal);
        Assert.Contains("0 built, 1 up to date, 0 failed", Executable.Shell(folder.Path, "patternc batch $'d\\xff/*.yaml'").Expect(0).Errors, StringComparison.Ordinal);
        Assert.Contains("d\\\\x{FF}/j\\\\x{FE}.yaml", Encoding.UTF8.GetString(folder.Read("r.json")), StringComparison.Ordinal);
        Shell(folder, "LC_ALL=C grep -aq $'^d\\xff/b.stream rep\\xff/d-j.html: ' r.d; test -e $'rep\\xff/index.html'");
    }

    private static void Shell(WorkFolder folder, string line) => Executable.Shell(folder.Path, $"set -e; {line}").Expect(0);
}
