using System.Diagnostics;
using System.Text;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>The reference receiver in C, built once with every warning an error and the sanitizers on.</summary>
public sealed class CReceiver : IDisposable
{
    private static readonly string[] Parts = ["receiver", "check", "write"];
    private readonly string folder = Directory.CreateTempSubdirectory("receiver").FullName;

    public CReceiver()
    {
        Build("receive");
        Build("torture");
        Build("board");
        Build("bench");
        Build("faults");
    }

    /// <summary>The example's folder.</summary>
    public static string Source { get; } = FindSource();

    /// <summary>The test vectors.</summary>
    public static string Vectors => Path.Combine(Source, "vectors");

    /// <summary>Path of a program.</summary>
    public string PathOf(string program) => Path.Combine(folder, program);

    /// <summary>Runs a program with bytes on its standard input.</summary>
    public (int ExitCode, byte[] Output, string Error) Run(string program, byte[] input, params string[] arguments) =>
        Start(PathOf(program), input, arguments);

    /// <summary>A script of seeded faults, or the same streams without.</summary>
    public string Faults(int seed, int runs, bool isClean) => Text("faults", "", [$"{seed}", $"{runs}", .. isClean ? ["clean"] : Array.Empty<string>()]);

    /// <summary>What an instrument at the pins sees while the receiver is led through a script.</summary>
    public string Bench(string script) => Text("bench", script);

    /// <summary>Lets the receiver write a stream; returns its exit code, its messages and its actions.</summary>
    public (int ExitCode, byte[] Messages, string[] Actions) Receive(byte[] stream, int bits, int coding)
    {
        string actions = Path.Combine(folder, "actions.txt");
        (int exitCode, byte[] output, string error) = Run("receive", stream, $"{bits}", $"{coding}", actions);
        Assert.Equal("", error);
        return (exitCode, output, File.ReadAllLines(actions));
    }

    /// <summary>The same on a board of a level, with every change of the blank line among the actions.</summary>
    public (int ExitCode, byte[] Messages, string[] Actions) Receive(byte[] stream, int bits, int coding, int level)
    {
        string actions = Path.Combine(folder, "actions.txt");
        (int exitCode, byte[] output, string error) = Run("receive", stream, $"{bits}", $"{coding}", actions, "0", $"{level}");
        Assert.Equal("", error);
        return (exitCode, output, File.ReadAllLines(actions));
    }

    private string Text(string program, string input, params string[] arguments)
    {
        (int exitCode, byte[] output, string error) = Run(program, Encoding.ASCII.GetBytes(input), arguments);
        Assert.True(exitCode == 0, error);
        return Encoding.ASCII.GetString(output);
    }

    public void Dispose() => Directory.Delete(folder, recursive: true);

    private void Build(string program)
    {
        (int exitCode, _, string error) = Start(
            "gcc",
            [],
            [
                "-std=c99", "-Wall", "-Wextra", "-Werror", "-pedantic", "-Wconversion", "-O1", "-g",
                "-fsanitize=address,undefined", "-fno-sanitize-recover=all",
                .. Parts.Append(program).Select(part => Path.Combine(Source, $"{part}.c")), "-o", PathOf(program),
            ]);
        Assert.True(exitCode == 0, error);
    }

    private static (int ExitCode, byte[] Output, string Error) Start(string program, byte[] input, string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments)
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        using Process process = Process.Start(start)!;
        Task<string> error = process.StandardError.ReadToEndAsync();
        using var output = new MemoryStream();
        Task copied = process.StandardOutput.BaseStream.CopyToAsync(output);
        process.StandardInput.BaseStream.Write(input);
        process.StandardInput.Close();
        process.WaitForExit();
        copied.Wait();
        return (process.ExitCode, output.ToArray(), error.Result);
    }

    private static string FindSource()
    {
        string? folder = AppContext.BaseDirectory;
        while (folder is not null && !File.Exists(Path.Combine(folder, "PatternCompiler.sln")))
        {
            folder = Path.GetDirectoryName(folder);
        }

        return Path.Combine(folder ?? throw new InvalidOperationException("PatternCompiler.sln is in no folder above the tests."), "examples/receiver");
    }
}
