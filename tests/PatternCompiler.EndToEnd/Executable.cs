using System.Diagnostics;
using System.Globalization;
using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>
/// The real program. By default the one built with these tests; the environment variable PATTERNC_EXECUTABLE names
/// another one, usually the native build.
/// </summary>
internal static class Executable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    public static string Path { get; } = Find();

    /// <summary>Runs it to its end in a folder.</summary>
    public static Outcome Run(string folder, IReadOnlyList<string> arguments, byte[]? input = null, IReadOnlyDictionary<string, string?>? environment = null)
    {
        using Process process = Start(folder, arguments, environment);
        var output = new MemoryStream();
        Task reading = process.StandardOutput.BaseStream.CopyToAsync(output);
        Task<string> errors = process.StandardError.ReadToEndAsync();
        Feed(process, input);
        if (!process.WaitForExit(Patience))
        {
            process.Kill(entireProcessTree: true);
            throw new TimeoutException($"patternc {string.Join(' ', arguments)} did not end.");
        }

        reading.Wait();
        return new Outcome(process.ExitCode, output.ToArray(), errors.Result);
    }

    /// <summary>Starts it with all three streams redirected.</summary>
    public static Process Start(string folder, IReadOnlyList<string> arguments, IReadOnlyDictionary<string, string?>? environment = null)
    {
        var start = new ProcessStartInfo(Path, arguments)
        {
            WorkingDirectory = folder,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            StandardErrorEncoding = Encoding.UTF8,
        };
        start.Environment["NO_COLOR"] = "1";
        start.Environment["DOTNET_TieredPGO"] = "0";
        foreach ((string name, string? value) in environment ?? new Dictionary<string, string?>())
        {
            start.Environment[name] = value;
        }

        return Process.Start(start)!;
    }

    /// <summary>Runs a line of shell with <c>patternc</c> on its path.</summary>
    public static Outcome Shell(string folder, string line, TimeSpan? patience = null)
    {
        string name = System.IO.Path.GetFileName(Path);
        string alias = name == "patternc" ? "" : $"patternc() {{ '{Path}' \"$@\"; }}; ";
        var start = new ProcessStartInfo("bash", ["-c", $"{alias}{line}"])
        {
            WorkingDirectory = folder,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        start.Environment["PATH"] = System.IO.Path.GetDirectoryName(Path) + ":" + Environment.GetEnvironmentVariable("PATH");
        start.Environment["NO_COLOR"] = "1";
        start.Environment["DOTNET_TieredPGO"] = "0";
        using Process process = Process.Start(start)!;
        var output = new MemoryStream();
        Task reading = process.StandardOutput.BaseStream.CopyToAsync(output);
        Task<string> errors = process.StandardError.ReadToEndAsync();
        process.StandardInput.Close();
        if (!process.WaitForExit(patience ?? Patience))
        {
            process.Kill(entireProcessTree: true);
            throw new TimeoutException($"'{line}' did not end.");
        }

        reading.Wait();
        return new Outcome(process.ExitCode, output.ToArray(), errors.Result);
    }

    /// <summary>Sends a signal by number, as <c>kill</c> does.</summary>
    public static void Signal(Process process, string signal)
    {
        using Process kill = Process.Start("kill", ["-" + signal, process.Id.ToString(CultureInfo.InvariantCulture)]);
        kill.WaitForExit();
    }

    private static void Feed(Process process, byte[]? input)
    {
        try
        {
            process.StandardInput.BaseStream.Write(input ?? []);
            process.StandardInput.Close();
        }
        catch (IOException)
        {
            // The program ended without reading all of it.
        }
    }

    private static string Find()
    {
        if (Environment.GetEnvironmentVariable("PATTERNC_EXECUTABLE") is { Length: > 0 } named)
        {
            return System.IO.Path.GetFullPath(named);
        }

        // The tests' project refers to the program's, so its executable is copied beside the tests.
        string beside = System.IO.Path.Combine(AppContext.BaseDirectory, OperatingSystem.IsWindows() ? "patternc.exe" : "patternc");
        return File.Exists(beside) ? beside : throw new FileNotFoundException("The program is not built.", beside);
    }
}
