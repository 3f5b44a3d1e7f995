using System.CommandLine;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc completions</c>: scripts that teach a shell to complete commands, options and file names.</summary>
internal static class CompletionsCommand
{
    // Each script asks the program itself what could follow, so that it never goes stale.
    private const string Bash = """
        _patternc() {
            local IFS=$'\n'
            COMPREPLY=($(compgen -W "$(patternc "[suggest:$COMP_POINT]" "$COMP_LINE" 2>/dev/null)" -- "${COMP_WORDS[COMP_CWORD]}"))
        }
        complete -o default -F _patternc patternc

        """;

    private const string Zsh = """
        #compdef patternc
        _patternc() {
            local -a words_found
            words_found=("${(@f)$(patternc "[suggest:$CURSOR]" "$BUFFER" 2>/dev/null)}")
            [[ ${#words_found} -gt 0 && -n ${words_found[1]} ]] && compadd -a words_found
            _files
        }
        compdef _patternc patternc

        """;

    private const string Fish = """
        complete -c patternc -a '(patternc "[suggest:"(commandline -C)"]" (commandline) 2>/dev/null)'

        """;

    public static PatternCommand Create()
    {
        var shell = new Argument<string>("shell") { Description = "Which shell.", HelpName = "bash|zsh|fish" };
        shell.AcceptOnlyFromAmong("bash", "zsh", "fish");
        return new PatternCommand("completions", "Print a script that completes patternc's words in a shell.")
        {
            Details = "Load the script from your shell's start-up file. It asks patternc itself, so it knows every command and option of the version that is installed.",
            Examples =
            [
                new("patternc completions bash > ~/.local/share/bash-completion/completions/patternc", "for bash, from the next shell on"),
                new("patternc completions fish > ~/.config/fish/completions/patternc.fish", "for fish"),
            ],
            Arguments = { shell },
        }.Runs((result, context) => Run(result.GetRequiredValue(shell), context));
    }

    private static int Run(string shell, CommandContext context)
    {
        using var output = context.Outputs.Create(Files.OutputFiles.StandardName);
        output.Stream.Write(System.Text.Encoding.UTF8.GetBytes(shell switch { "bash" => Bash, "zsh" => Zsh, _ => Fish }));
        output.Commit();
        return ExitCode.Done;
    }
}
