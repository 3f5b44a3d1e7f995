using System.CommandLine;

namespace PatternCompiler.Cli.Arguments;

/// <summary>Options that name a file.</summary>
internal static class FileOption
{
    /// <summary>Where the result goes; standard output unless given.</summary>
    public static Option<string> CreateOutput(string description = "Write to FILE, complete or not at all.")
    {
        var option = new Option<string>("--output", "-o")
        {
            Description = description + " Standard output if absent or -.",
            HelpName = "FILE",
            DefaultValueFactory = _ => Files.OutputFiles.StandardName,
        };
        option.Validators.Add(FileNameRule.Apply);
        return option;
    }

    /// <summary>An optional file; null unless given.</summary>
    public static Option<string?> Create(string name, string description, string helpName = "FILE")
    {
        var option = new Option<string?>(name) { Description = description, HelpName = helpName };
        option.Validators.Add(FileNameRule.Apply);
        return option;
    }
}
