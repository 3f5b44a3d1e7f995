namespace PatternCompiler.EndToEnd;

/// <summary>What the program says to a wrong command line: one line on standard error, nothing on standard output.</summary>
public sealed class UsageTests
{
    [Theory]
    [InlineData("--bogus", "patternc: error PC0001: unknown option '--bogus'; see 'patternc --help'\n")]
    [InlineData("--quite", "patternc: error PC0001: unknown option '--quite'; did you mean '--quiet'? see 'patternc --help'\n")]
    [InlineData("explode", "patternc: error PC0001: unknown command 'explode'; see 'patternc --help'\n")]
    [InlineData("--color pink", "patternc: error PC0001: option '--color' takes auto, always or never, not 'pink'; see 'patternc --help'\n")]
    [InlineData("--color ALWAYS", "patternc: error PC0001: option '--color' takes auto, always or never, not 'ALWAYS' (did you mean 'always'?); see 'patternc --help'\n")]
    public void Wrong_lines_get_one_message_and_code_2(string line, string expected)
    {
        using var folder = new WorkFolder();
        Outcome outcome = folder.Run(line.Split(' ')).Expect(2);
        Assert.Equal(expected, outcome.Errors);
        Assert.Empty(outcome.OutputBytes);
    }

    [Fact]
    public void Alone_it_prints_help()
    {
        using var folder = new WorkFolder();
        Outcome alone = folder.Run().Expect(0);
        Assert.Equal(folder.Run("--help").Expect(0).Output, alone.Output);
        Assert.Contains("Exit codes:", alone.Output, StringComparison.Ordinal);
        Assert.Empty(alone.Errors);
    }

    [Fact]
    public void Help_wins_over_a_wrong_line()
    {
        using var folder = new WorkFolder();
        Assert.Empty(folder.Run("--bogus", "--help").Expect(0).Errors);
    }

    [Fact]
    public void Version_is_one_line()
    {
        using var folder = new WorkFolder();
        Assert.Matches(@"^patternc \d+\.\d+\.\d+\S*\n$", folder.Run("--version").Expect(0).Output);
    }

    [Theory]
    [InlineData("/h")]
    [InlineData("/?")]
    [InlineData("-?")]
    public void Slash_words_are_no_help_options(string word)
    {
        using var folder = new WorkFolder();
        folder.Run(word).Expect(2);
    }

    [Fact]
    public void Colour_is_off_in_a_file_and_on_when_asked_for()
    {
        using var folder = new WorkFolder();
        Assert.DoesNotContain('\u001b', folder.Run("--bogus").Errors);
        Assert.Contains("\u001b[1;31merror PC0001:\u001b[0m", folder.Run("--color", "always", "--bogus").Errors, StringComparison.Ordinal);
    }
}
