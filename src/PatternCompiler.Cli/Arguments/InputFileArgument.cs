using System.CommandLine;

namespace PatternCompiler.Cli.Arguments;

/// <summary>An argument that names a file to be read; no output may take its place.</summary>
internal sealed class InputFileArgument : Argument<string>
{
    public InputFileArgument(string name)
        : base(name)
    {
        Validators.Add(FileNameRule.Apply);
    }
}
