using System.Diagnostics;
using System.Text.Json;
using Microsoft.CodeAnalysis.CSharp;

namespace PatternCompiler.Mutants.Placing;

/// <summary>What the build tells the compiler about the library: sources, references, options.</summary>
internal static class CompilerArguments
{
    /// <exception cref="InvalidOperationException">The build did not say.</exception>
    public static CSharpCommandLineArguments Ask(string project)
    {
        var start = new ProcessStartInfo("dotnet")
        {
            ArgumentList =
            {
                "build", project, "-c", "Release", "-nologo", "-t:PrepareResources;Compile", "-getItem:CscCommandLineArgs",
                "-p:ProvideCommandLineArgs=true", "-p:SkipCompilerExecution=true", "-p:NonExistentFile=__always__", "-p:RunAnalyzers=false", "-p:IncludeSourceRevisionInInformationalVersion=false",
            },
            RedirectStandardOutput = true,
        };
        using Process build = Process.Start(start)!;
        string output = build.StandardOutput.ReadToEnd();
        build.WaitForExit();
        if (build.ExitCode != 0)
        {
            throw new InvalidOperationException($"The build does not tell its compiler arguments:\n{output}");
        }

        using JsonDocument json = JsonDocument.Parse(output);
        string[] arguments = [.. json.RootElement.GetProperty("Items").GetProperty("CscCommandLineArgs").EnumerateArray()
            .Select(item => item.GetProperty("Identity").GetString()!)];
        return CSharpCommandLineParser.Default.Parse(arguments, Path.GetDirectoryName(project), sdkDirectory: null);
    }
}
