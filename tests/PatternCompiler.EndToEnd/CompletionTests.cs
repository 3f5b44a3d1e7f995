namespace PatternCompiler.EndToEnd;

public sealed class CompletionTests
{
    [Fact]
    public void The_program_suggests_what_could_follow()
    {
        using var folder = new WorkFolder();
        Assert.Contains("explain", folder.Run("[suggest:12]", "patternc exp").Expect(0).Output.Split('\n'));
        Assert.Contains("--quiet", folder.Run("[suggest:13]", "patternc --qu").Expect(0).Output.Split('\n'));
    }

    [Fact]
    public void Bash_completes_with_the_printed_script()
    {
        using var folder = new WorkFolder();
        const string Script = """
            patternc completions bash > script; . ./script
            COMP_LINE="patternc compl"; COMP_POINT=14; COMP_WORDS=(patternc compl); COMP_CWORD=1
            _patternc; printf '%s\n' "${COMPREPLY[@]}"
            """;
        Assert.Equal("completions\n", Executable.Shell(folder.Path, Script).Expect(0).Output);
    }

    [Theory]
    [InlineData("zsh", "#compdef patternc")]
    [InlineData("fish", "complete -c patternc")]
    public void Other_shells_have_their_scripts(string shell, string start)
    {
        using var folder = new WorkFolder();
        Assert.StartsWith(start, folder.Run("completions", shell).Expect(0).Output, StringComparison.Ordinal);
    }
}
