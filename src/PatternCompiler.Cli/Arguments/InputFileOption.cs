using System.CommandLine;

namespace PatternCompiler.Cli.Arguments;

/// <summary>An option that names a file to be read; no output may take its place.</summary>
internal sealed class InputFileOption : Option<string?>
{
    public InputFileOption(string name)
        : base(name)
    {
        Validators.Add(FileNameRule.Apply);
    }
}
