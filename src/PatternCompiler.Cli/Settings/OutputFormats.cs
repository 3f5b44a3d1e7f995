using PatternCompiler.Jobs;

namespace PatternCompiler.Cli.Settings;

/// <summary>Output formats by the names that the command line and the job file use.</summary>
internal static class OutputFormats
{
    /// <summary>The names.</summary>
    public static string[] Names => [.. OutputWriter.Words.Select(entry => entry.Word)];

    /// <summary>The format of a name that is one of <see cref="Names"/>.</summary>
    public static OutputFormat Parse(string name) => OutputWriter.Words.First(entry => entry.Word == name).Format;
}
