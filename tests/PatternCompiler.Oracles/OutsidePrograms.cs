using System.Diagnostics;

namespace PatternCompiler.Oracles;

/// <summary>
/// Programs of Debian packages that results are compared with. Continuous integration installs them; elsewhere a test that
/// needs one which is not there is skipped, and says what to install.
/// </summary>
internal static class OutsidePrograms
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);

    /// <summary>Debian's Python; others do not see Debian's packages.</summary>
    public const string Python = "/usr/bin/python3";

    /// <summary>Why a test must be skipped, or null if the program runs with the arguments.</summary>
    public static string? Missing(string package, string program, params string[] arguments)
    {
        if (Environment.GetEnvironmentVariable("CI") is { Length: > 0 })
        {
            return null;
        }

        try
        {
            return Run(program, arguments).ExitCode == 0 ? null : $"needs the Debian package {package}";
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return $"needs the Debian package {package}";
        }
    }

    /// <summary>Runs a program to its end.</summary>
    public static (int ExitCode, string Output, string Errors) Run(string program, params string[] arguments)
    {
        using Process process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        Task<string> errors = process.StandardError.ReadToEndAsync();
        Task<string> output = process.StandardOutput.ReadToEndAsync();
        if (!process.WaitForExit(Patience))
        {
            process.Kill(entireProcessTree: true);
            throw new TimeoutException($"{program} did not end.");
        }

        return (process.ExitCode, output.Result, errors.Result);
    }

    /// <summary>Path of a file of the corpus.</summary>
    public static string Corpus(params string[] path)
    {
        string folder = AppContext.BaseDirectory;
        while (!Directory.Exists(Path.Combine(folder, "tests", "Corpus")))
        {
            folder = Path.GetDirectoryName(folder) ?? throw new DirectoryNotFoundException("tests/Corpus");
        }

        return Path.Combine([folder, "tests", "Corpus", .. path]);
    }
}
