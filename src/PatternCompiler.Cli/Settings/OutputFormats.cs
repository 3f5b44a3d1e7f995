using PatternCompiler.Jobs;

namespace PatternCompiler.Cli.Settings;

/// <summary>Output formats by the names that the command line and the job file use.</summary>
internal static class OutputFormats
{
    private static readonly (string Name, OutputFormat Format)[] All =
    [
        ("stream", OutputFormat.Stream),
        ("words", OutputFormat.Words),
        ("records", OutputFormat.Records),
        ("volts", OutputFormat.Volts),
    ];

    /// <summary>The names.</summary>
    public static string[] Names => [.. All.Select(entry => entry.Name)];

    /// <summary>The format of a name that is one of <see cref="Names"/>.</summary>
    public static OutputFormat Parse(string name) => All.First(entry => entry.Name == name).Format;
}
