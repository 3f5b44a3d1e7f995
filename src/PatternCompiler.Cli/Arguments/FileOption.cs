using System.CommandLine;

namespace PatternCompiler.Cli.Arguments;

/// <summary>Options that name a file or a folder.</summary>
internal static class FileOption
{
    /// <summary>Where the result goes; standard output unless given.</summary>
    /// <param name="content">What it is, as <see cref="PatternCompiler.Jobs.FileContent"/> calls it.</param>
    /// <param name="description">For the help.</param>
    public static Option<string> CreateOutput(string content, string description) => CreateOutput(_ => OutputChoice.Of(content), description);

    /// <summary>As above, for what depends on the rest of the command line.</summary>
    public static Option<string> CreateOutput(Func<ParseResult, OutputChoice> holds, string description) => new OutputFileOption("--output", "-o")
    {
        Description = description + " Standard output if absent or -.",
        DefaultValueFactory = _ => Files.OutputFiles.StandardName,
        Holds = holds,
    };

    /// <summary>A file that is written only if it is named.</summary>
    public static Option<string> CreateWritten(string name, Func<ParseResult, OutputChoice> holds, string description) =>
        new OutputFileOption(name) { Description = description, Holds = holds };

    /// <summary>A file that is read only if it is named.</summary>
    public static Option<string?> CreateRead(string name, string description) => new InputFileOption(name) { Description = description, HelpName = "FILE" };

    /// <summary>A folder, or a name that is no file's; null unless given.</summary>
    public static Option<string?> Create(string name, string description, string helpName)
    {
        var option = new Option<string?>(name) { Description = description, HelpName = helpName };
        option.Validators.Add(FileNameRule.Apply);
        return option;
    }
}
