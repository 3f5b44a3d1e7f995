using System.CommandLine;
using System.CommandLine.Invocation;
using System.Reflection;

namespace PatternCompiler.Cli.Terminal;

/// <summary>Prints name and version, one line.</summary>
internal sealed class VersionAction : SynchronousCommandLineAction
{
    /// <summary>The version that the build wrote into the program.</summary>
    public static string Version { get; } =
        typeof(VersionAction).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion ?? "unknown";

    public override bool ClearsParseErrors => true;

    public override int Invoke(ParseResult parseResult)
    {
        parseResult.InvocationConfiguration.Output.WriteLine("patternc " + Version);
        return ExitCode.Done;
    }
}
