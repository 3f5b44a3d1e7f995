using System.CommandLine;
using PatternCompiler.Cli.Terminal;

namespace PatternCompiler.Cli.Arguments;

/// <summary>Options that every command takes.</summary>
internal sealed class GlobalOptions
{
    private readonly Option<bool> quiet = new("--quiet", "-q")
    {
        Description = "No notes, summaries or progress on standard error; warnings and errors stay.",
        Recursive = true,
    };

    private readonly Option<bool> strict = new("--strict")
    {
        Description = "A warning that something drawn is lost, or that a stray line would print, is an error: exit code 3, and no output is left.",
        Recursive = true,
    };

    private readonly ChoiceOption<ColourChoice> colour = ChoiceOption<ColourChoice>.Create(
        "--color",
        "Colour of messages: auto means on a terminal only, unless NO_COLOR is set.",
        new(("auto", ColourChoice.Auto), ("always", ColourChoice.Always), ("never", ColourChoice.Never)));

    public GlobalOptions()
    {
        colour.Recursive = true;
    }

    /// <summary>Adds them to the root.</summary>
    public void AddTo(Command root)
    {
        root.Options.Add(quiet);
        root.Options.Add(strict);
        root.Options.Add(colour);
    }

    /// <summary>True if nothing may be lost.</summary>
    public bool IsStrict(ParseResult result) => result.GetValue(strict);

    /// <summary>Progress as these options want it.</summary>
    public ProgressDisplay CreateProgress(ParseResult result) => new(!Console.IsErrorRedirected && !result.GetValue(quiet));

    /// <summary>Messages as these options want them.</summary>
    public Messages CreateMessages(ParseResult result, TextWriter error, ProgressDisplay progress)
    {
        bool uses = ColourRule.UsesColour(
            colour.In(result),
            !Console.IsErrorRedirected,
            Environment.GetEnvironmentVariable("NO_COLOR"),
            Environment.GetEnvironmentVariable("TERM"));
        return new Messages(error, result.GetValue(quiet), uses, progress);
    }
}
