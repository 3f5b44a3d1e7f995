using System.Collections.Immutable;
using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Manual;

namespace PatternCompiler.Cli;

/// <summary>A subcommand with all that its help shows and the code that runs it.</summary>
internal sealed class PatternCommand : Command
{
    /// <summary>Declares a command; arguments and options are added by a collection initialiser.</summary>
    public PatternCommand(string name, string description)
        : base(name, description)
    {
    }

    /// <summary>Paragraphs that explain what the option list cannot.</summary>
    public required string Details { get; init; }

    /// <summary>Command lines to copy, each with what it does.</summary>
    public required ImmutableArray<CommandExample> Examples { get; init; }

    /// <summary>Files that it reads or writes besides those on its command line, for its manual page.</summary>
    public ImmutableArray<ManualBlock> Files { get; init; } = [];

    /// <summary>What its exit codes tell.</summary>
    public ImmutableArray<ExitCodeMeaning> ExitCodes { get; init; } = ExitCodeMeaning.Usual;

    /// <summary>How long the command may take to stop after Ctrl-C before it is ended.</summary>
    public TimeSpan GraceForStop { get; init; } = TimeSpan.FromMilliseconds(100);

    // How an output is written stands with where it goes.
    private static readonly string[] OutputForms = ["--binary", "--format", "--json"];
    private readonly Dictionary<Option, OptionGroup> groups = [];

    /// <summary>Adds an option of a group that its type does not tell.</summary>
    public void Add(OptionGroup group, Option option)
    {
        groups.Add(option, group);
        Options.Add(option);
    }

    /// <summary>Where an option stands in the help.</summary>
    public OptionGroup GroupOf(Option option) =>
        groups.TryGetValue(option, out OptionGroup group) ? group
        : option is OutputFileOption || OutputForms.Contains(option.Name) ? OptionGroup.Output
        : OptionGroup.Work;

    /// <summary>Does the work and returns the exit code. Failures are thrown.</summary>
    public Func<ParseResult, CommandContext, int>? Body { get; private set; }

    /// <summary>Sets what the command does.</summary>
    public PatternCommand Runs(Func<ParseResult, CommandContext, int> body)
    {
        Body = body;

        // Only says that the command can be run by itself; the body is called with more than the parser could give it.
        SetAction(_ => ExitCode.Done);
        return this;
    }
}

/// <summary>One line of a command's Examples section.</summary>
/// <param name="Line">The command line as typed into a shell.</param>
/// <param name="Meaning">What it does, one phrase.</param>
internal readonly record struct CommandExample(string Line, string Meaning);
