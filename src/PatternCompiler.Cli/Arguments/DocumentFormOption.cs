using System.CommandLine;

namespace PatternCompiler.Cli.Arguments;

/// <summary>Whether a document is written as text or in its compact binary form.</summary>
internal static class DocumentFormOption
{
    public static Option<bool> Create() => new("--binary")
    {
        Description = "Write the compact binary form, for large patterns; every stage reads either.",
    };
}
