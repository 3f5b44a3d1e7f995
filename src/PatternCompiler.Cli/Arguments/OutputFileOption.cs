using System.CommandLine;

namespace PatternCompiler.Cli.Arguments;

/// <summary>An option that names a file to be written.</summary>
internal sealed class OutputFileOption : Option<string>
{
    public OutputFileOption(string name, params string[] aliases)
        : base(name, aliases)
    {
        HelpName = "FILE";
        Validators.Add(FileNameRule.Apply);
    }

    /// <summary>What the file will hold on a given command line.</summary>
    public required Func<ParseResult, OutputChoice> Holds { get; init; }
}
