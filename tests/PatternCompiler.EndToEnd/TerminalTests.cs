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
        // Long enough for the bar to come up.
        using WorkFolder folder = new WorkFolder().With(
            "long.layout", "layout 1\nunit um\nlayer dots\nrepeat 1000 as i\n  repeat 1000 as j\n    rect on dots at (i * 0.05, j * 0.05) size (0.02, 0.02)\n  end\nend\n");
        string shown = OnTerminal(folder, "env -u NO_COLOR TERM=xterm {0} fracture long.layout -o a.figures");
        Assert.Matches(@"long\.layout.*\d+%", shown);
        Assert.Matches(@"a\.figures|long\.layout", shown);
        string quiet = OnTerminal(folder, "env -u NO_COLOR TERM=xterm {0} fracture long.layout -o b.figures --quiet");
        Assert.DoesNotContain("%", quiet, StringComparison.Ordinal);
        string filed = folder.Run("fracture", "long.layout", "-o", "c.figures").Expect(0).Errors;
        Assert.DoesNotContain("\u001b", filed, StringComparison.Ordinal);
        Assert.DoesNotContain("%", filed, StringComparison.Ordinal);
        Assert.Equal(folder.Read("c.figures"), folder.Read("a.figures"));
    }

    private static string OnTerminal(WorkFolder folder, string line) =>
        Executable.Shell(folder.Path, $"script -qc '{string.Format(System.Globalization.CultureInfo.InvariantCulture, line, Executable.Path)}' /dev/null < /dev/null").Output;
}
