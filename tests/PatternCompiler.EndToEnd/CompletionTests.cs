namespace PatternCompiler.EndToEnd;

/// <summary>Completion, in the shells themselves.</summary>
public sealed class CompletionTests
{
    [Fact]
    public void The_program_suggests_what_could_follow()
    {
        using var folder = new WorkFolder();
        Assert.Contains("explain", folder.Run("[suggest:12]", "patternc exp").Expect(0).Output.Split('\n'));
        Assert.Contains("--quiet", folder.Run("[suggest:13]", "patternc --qu").Expect(0).Output.Split('\n'));
    }

    [Theory]
    [InlineData("patternc compl", "completions")]
    [InlineData("patternc fi", "fill fit")]
    [InlineData("patternc build --format n", "npy")]
    [InlineData("patternc build --mach", "--machine")]
    [InlineData("patternc fit ", "alignment blanker contrast converter dose field hum sample settling spread stage")]
    [InlineData("patternc build ch", "chip.dxf")]
    public void Bash_completes_with_the_printed_script(string line, string expected)
    {
        using WorkFolder folder = new WorkFolder().With("chip.dxf", "x");
        string[] words = line.Split(' ');

        // What bash does: the function's words, or names of files if it has none (complete -o default).
        string script = $$"""
            patternc completions bash > script; . ./script
            COMP_LINE='{{line}}'; COMP_POINT={{line.Length}}; COMP_WORDS=({{string.Join(' ', words.Select(word => $"'{word}'"))}}); COMP_CWORD={{words.Length - 1}}
            _patternc
            [ "$(complete -p patternc)" = 'complete -o default -F _patternc patternc' ] || exit 9
            (( ${#COMPREPLY[@]} )) || COMPREPLY=($(compgen -f -- '{{words[^1]}}'))
            echo "${COMPREPLY[@]}"
            """;
        Assert.Equal(expected + "\n", Executable.Shell(folder.Path, script).Expect(0).Output);
    }

    [FactWith("fish")]
    public void Fish_completes_with_the_printed_script()
    {
        using WorkFolder folder = new WorkFolder().With("chip.dxf", "x");
        folder.With("patternc.fish", folder.Run("completions", "fish").Expect(0).OutputBytes);
        string Complete(string line) => Executable.Shell(folder.Path, $"fish --no-config -c 'source patternc.fish; complete -C \"{line}\"'").Expect(0).Output.Replace('\n', ' ').TrimEnd();
        Assert.Equal("completions", Complete("patternc compl"));
        Assert.Equal("npy", Complete("patternc build --format n"));
        Assert.Equal("--machine", Complete("patternc build --mach"));
        Assert.Equal("alignment blanker contrast converter dose field hum sample settling spread stage", Complete("patternc fit "));
        Assert.Equal("chip.dxf", Complete("patternc build ch"));
        Assert.Equal("fracture", Complete("patternc parse chip.dxf | patternc frac"));
    }

    [FactWith("zsh")]
    public void Zsh_completes_with_the_printed_script()
    {
        using WorkFolder folder = new WorkFolder().With("chip.dxf", "x");
        folder.With("functions/_patternc", folder.Run("completions", "zsh").Expect(0).OutputBytes);

        // A real zsh at a terminal of its own: the line is typed, the tabulator completes it, Ctrl-X writes it to a file.
        folder.With(
            "type.zsh",
            """
            await() { repeat 200; do [[ -e $1 ]] && return; sleep 0.05; done; exit 9 }
            zmodload zsh/zpty
            zpty z zsh -f -i
            zpty -w z 'PS1=; fpath=($PWD/functions $fpath); autoload -Uz compinit; compinit -u -d $PWD/dump; unsetopt auto_menu'
            zpty -w z 'show() { print -r -- $BUFFER > part; mv part typed; BUFFER= }; zle -N show; bindkey "^X" show; print > started'
            await started
            for line; do
                zpty -w -n z $line$'\t\x18'
                await typed
                cat typed
                rm typed
            done
            zpty -d z

            """);
        Outcome outcome = Executable.Shell(
            folder.Path,
            "zsh -f type.zsh 'patternc compl' 'patternc build --format n' 'patternc build --mach' 'patternc build ch' 'patternc parse chip.dxf | patternc frac'");
        Assert.Equal(
            "patternc completions \npatternc build --format npy \npatternc build --machine \npatternc build chip.dxf \npatternc parse chip.dxf | patternc fracture \n",
            outcome.Expect(0).Output);
    }

    [Fact]
    public void PowerShell_has_its_script()
    {
        using var folder = new WorkFolder();
        Assert.StartsWith("Register-ArgumentCompleter -Native -CommandName patternc", folder.Run("completions", "powershell").Expect(0).Output, StringComparison.Ordinal);
    }
}
