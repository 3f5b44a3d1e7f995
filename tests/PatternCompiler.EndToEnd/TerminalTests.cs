namespace PatternCompiler.EndToEnd;

/// <summary>What differs between a terminal and a file: colour and progress. The program <c>script</c> gives a terminal.</summary>
public sealed class TerminalTests
{
    private const string Red = "\u001b[1;31m";

    [FactWith("script")]
    public void Colour_follows_the_terminal_the_environment_and_the_option()
    {
        using var folder = new WorkFolder();
        Assert.Contains(Red, OnTerminal(folder, "env -u NO_COLOR TERM=xterm {0} --bogus"), StringComparison.Ordinal);
        Assert.DoesNotContain(Red, OnTerminal(folder, "env -u NO_COLOR TERM=dumb {0} --bogus"), StringComparison.Ordinal);
        Assert.DoesNotContain(Red, OnTerminal(folder, "env NO_COLOR=1 TERM=xterm {0} --bogus"), StringComparison.Ordinal);
        Assert.Contains(Red, OnTerminal(folder, "env NO_COLOR=1 TERM=xterm {0} --color always --bogus"), StringComparison.Ordinal);
        Assert.DoesNotContain(Red, OnTerminal(folder, "env -u NO_COLOR TERM=xterm {0} --color never --bogus"), StringComparison.Ordinal);

        // An empty value counts as not set (no-color.org: "when present and not an empty string").
        Assert.Contains(Red, OnTerminal(folder, "env NO_COLOR= TERM=xterm {0} --bogus"), StringComparison.Ordinal);
    }

    [FactWith("script")]
    public void Progress_is_shown_on_a_terminal_only()
    {
        // The drawing comes slowly through a pipe with a name, so that there is time for the bar to come up.
        using WorkFolder folder = new WorkFolder()
            .With("a.layout", Patterns.Layout)
            .With("job.yaml", "job: slow\nsources: [slow.layout]\noutputs: [{file: slow.stream, format: stream}]\n");
        Executable.Shell(folder.Path, "mkfifo slow.layout").Expect(0);
        const string Slowly = "(sleep 1.5; cat a.layout) > slow.layout & env -u NO_COLOR TERM=xterm {0} build job.yaml";
        string shown = OnTerminal(folder, Slowly);
        Assert.Matches(@"job\.yaml.*\d+%", shown);
        Assert.Contains("wrote slow.stream", shown, StringComparison.Ordinal);
        Assert.DoesNotContain("%", OnTerminal(folder, Slowly + " --quiet"), StringComparison.Ordinal);
        string filed = Executable.Shell(folder.Path, "(sleep 1.5; cat a.layout) > slow.layout & patternc build job.yaml").Expect(0).Errors;
        Assert.DoesNotContain("\u001b", filed, StringComparison.Ordinal);
        Assert.DoesNotContain("job.yaml", filed, StringComparison.Ordinal);
        Assert.Contains("wrote slow.stream", filed, StringComparison.Ordinal);
    }

    private static string OnTerminal(WorkFolder folder, string line) =>
        Executable.Shell(folder.Path, $"script -qc '{string.Format(System.Globalization.CultureInfo.InvariantCulture, line, Executable.Path)}' /dev/null < /dev/null").Output;
}
