using System.CommandLine;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc completions</c>: scripts that teach a shell to complete commands, options and file names.</summary>
internal static class CompletionsCommand
{
    // Each script asks the program itself what could follow, so that it never goes stale. Options are offered once a dash
    // is typed; where nothing but options could follow, names of files are offered.
    private const string Bash = """
        _patternc() {
            local word=${COMP_WORDS[COMP_CWORD]} line=${COMP_LINE:0:COMP_POINT} found
            COMPREPLY=()
            while IFS= read -r found; do
                if [[ $found == "$word"* && ( $word == -* || $found != -* ) ]]; then
                    COMPREPLY+=("$found")
                fi
            done < <(patternc "[suggest:${#line}]" "$line" 2>/dev/null)
        }
        complete -o default -F _patternc patternc

        """;

    private const string Zsh = """
        #compdef patternc
        _patternc() {
            local line="${(j: :)words[1,CURRENT-1]} $PREFIX"
            local -a found
            found=("${(@f)$(patternc "[suggest:${#line}]" "$line" 2>/dev/null)}")
            found=("${(@)found:#}")
            [[ $PREFIX == -* ]] || found=("${(@)found:#-*}")
            if (( ${#found} )); then
                compadd -a found
            else
                _files
            fi
        }
        if [[ $funcstack[1] == _patternc ]]; then
            _patternc "$@"
        else
            compdef _patternc patternc
        fi

        """;

    private const string Fish = """
        function __patternc_complete
            set -l line (commandline -cp | string collect)
            set -l word (commandline -ct)
            set -l found (patternc "[suggest:"(string length -- "$line")"]" "$line" 2>/dev/null)
            string match -q -- '-*' "$word"; or set found (string match -v -- '-*' $found)
            if set -q found[1]
                printf '%s\n' $found
            else
                __fish_complete_path "$word"
            end
        end
        complete -c patternc -f -a '(__patternc_complete)'

        """;

    private const string PowerShell = """
        Register-ArgumentCompleter -Native -CommandName patternc -ScriptBlock {
            param($word, $ast, $cursor)
            $end = $cursor - $ast.Extent.StartOffset
            $text = $ast.ToString()
            $line = $text.Substring(0, [Math]::Min($end, $text.Length)).PadRight($end)
            & patternc "[suggest:$end]" $line 2>$null |
                Where-Object { $_.StartsWith($word) -and ($word.StartsWith('-') -or -not $_.StartsWith('-')) } |
                ForEach-Object { [System.Management.Automation.CompletionResult]::new($_) }
        }

        """;

    public static PatternCommand Create()
    {
        var shell = new Argument<string>("shell") { Description = "Which shell.", HelpName = "bash|zsh|fish|powershell" };
        shell.AcceptOnlyFromAmong("bash", "zsh", "fish", "powershell");
        return new PatternCommand("completions", "Print a script that completes patternc's words in a shell.")
        {
            Details = "Load the script from your shell's start-up file. It asks patternc itself, so it knows every command and option of the version that is installed.",
            Examples =
            [
                new("patternc completions bash > ~/.local/share/bash-completion/completions/patternc", "for bash, from the next shell on"),
                new("patternc completions zsh > ~/.zfunc/_patternc", "for zsh, with ~/.zfunc in fpath before compinit"),
                new("patternc completions powershell >> $PROFILE", "for PowerShell"),
                new("patternc completions fish > ~/.config/fish/completions/patternc.fish", "for fish"),
            ],
            Arguments = { shell },
        }.Runs((result, context) => Run(result.GetRequiredValue(shell), context));
    }

    private static int Run(string shell, CommandContext context)
    {
        using var output = context.Outputs.Create(Files.OutputFiles.StandardName);
        output.Stream.Write(System.Text.Encoding.UTF8.GetBytes(shell switch { "bash" => Bash, "zsh" => Zsh, "fish" => Fish, _ => PowerShell }));
        output.Commit();
        return ExitCode.Done;
    }
}
