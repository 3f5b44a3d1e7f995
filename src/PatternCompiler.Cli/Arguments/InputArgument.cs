using System.CommandLine;

namespace PatternCompiler.Cli.Arguments;

/// <summary>The input of a command: a file, or standard input for "-" or nothing.</summary>
internal static class InputArgument
{
    /// <summary>Declares it.</summary>
    public static Argument<string> Create(string description)
    {
        return new InputFileArgument("input")
        {
            Description = description + " Standard input if absent or -.",
            Arity = ArgumentArity.ZeroOrOne,
            DefaultValueFactory = _ => Files.InputFile.StandardName,
        };
    }
}
