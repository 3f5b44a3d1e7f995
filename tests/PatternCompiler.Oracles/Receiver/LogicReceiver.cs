using System.Diagnostics;
using System.Globalization;
using System.Text;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>The receiver for programmable logic: its sources, and the programs that simulate it.</summary>
public sealed class LogicReceiver : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("logic").FullName;
    private string? verilated;

    /// <summary>Its folder.</summary>
    public static string Source { get; } = Path.Combine(CReceiver.Source, "logic");

    /// <summary>Its modules.</summary>
    public static string[] Modules => [.. Directory.EnumerateFiles(Source, "*.v").Order(StringComparer.Ordinal)];

    /// <summary>A file in a folder that goes with the object.</summary>
    public string PathOf(string name) => Path.Combine(folder, name);

    /// <summary>What an instrument at the pins sees while the model that Verilator makes is led through a script.</summary>
    public string Verilated(string script)
    {
        verilated ??= Verilate();
        return Encoding.ASCII.GetString(Succeed(verilated, script));
    }

    /// <summary>The same under Icarus Verilog.</summary>
    public string Interpreted(string script)
    {
        string model = PathOf("bench.vvp");
        Succeed("iverilog", "", ["-g2001", "-Wall", "-o", model, "-s", "bench", Bench("bench.v"), Bench("pins.v"), .. Modules]);
        File.WriteAllText(PathOf("script"), script);
        return Encoding.ASCII.GetString(Succeed("vvp", "", "-n", model, $"+script={PathOf("script")}"));
    }

    /// <summary>Positions with every clock a tick, from the moment when the stream is in the rooms: clock, x, y, and whether the beam is on.</summary>
    public (int Clock, int X, int Y, bool IsOn)[] Positions(byte[] stream, int bits, int shortestTicks, params string[] parameters)
    {
        string[] lines = Simulate("rate", stream, [$"+bits={bits}", $"+shortest={shortestTicks}"], parameters);
        Assert.DoesNotContain(lines, line => line.StartsWith("bad word", StringComparison.Ordinal));
        return [.. lines.Where(line => line.Length > 0 && char.IsAsciiDigit(line[0])).Select(Position)];

        static (int Clock, int X, int Y, bool IsOn) Position(string line)
        {
            // A converter of which nothing is known yet stands nowhere.
            string[] words = line.Split(' ');
            return (int.Parse(words[0], CultureInfo.InvariantCulture), Code(words[1]), Code(words[2]), words[3] == "0");
        }

        static int Code(string word) => int.TryParse(word, CultureInfo.InvariantCulture, out int code) ? code : -1;
    }

    /// <summary>What a bench says under Icarus Verilog that plays a stream.</summary>
    /// <param name="bench">Its module, in the file of the same name.</param>
    /// <param name="stream">The stream.</param>
    /// <param name="arguments">Further arguments of its run.</param>
    /// <param name="parameters">Parameters of the module, as NAME=VALUE.</param>
    public string[] Simulate(string bench, byte[] stream, string[] arguments, params string[] parameters)
    {
        string model = PathOf(bench + ".vvp");
        Succeed("iverilog", "", ["-g2001", "-o", model, "-s", bench, .. parameters.Select(parameter => $"-P{bench}.{parameter}"), Bench(bench + ".v"), .. Modules]);
        File.WriteAllText(PathOf("stream"), string.Join('\n', stream.Select(value => $"{value:x2}")));
        return Encoding.ASCII.GetString(Succeed("vvp", "", ["-n", model, $"+stream={PathOf("stream")}", $"+bytes={stream.Length}", .. arguments])).Split('\n');
    }

    /// <summary>A file of the bench.</summary>
    public static string Bench(string name) => Path.Combine(Source, "bench", name);

    /// <summary>Runs a program that has to succeed without a word of complaint.</summary>
    public byte[] Succeed(string program, string input, params string[] arguments)
    {
        (int exitCode, byte[] output, string error) = Start(program, input, arguments);
        Assert.True(exitCode == 0 && !error.Contains("arning", StringComparison.Ordinal), error + Encoding.ASCII.GetString(output));
        return output;
    }

    /// <summary>Runs a program and returns all that it says.</summary>
    public (int ExitCode, string Text) Run(string program, params string[] arguments)
    {
        (int exitCode, byte[] output, string error) = Start(program, "", arguments);
        return (exitCode, Encoding.ASCII.GetString(output) + error);
    }

    public void Dispose() => Directory.Delete(folder, recursive: true);

    private (int ExitCode, byte[] Output, string Error) Start(string program, string input, string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments)
        {
            WorkingDirectory = folder,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        using Process process = Process.Start(start)!;
        Task<string> error = process.StandardError.ReadToEndAsync();
        using var output = new MemoryStream();
        Task copied = process.StandardOutput.BaseStream.CopyToAsync(output);
        process.StandardInput.Write(input);
        process.StandardInput.Close();
        process.WaitForExit();
        copied.Wait();
        return (process.ExitCode, output.ToArray(), error.Result);
    }

    private string Verilate()
    {
        Succeed(
            "verilator",
            "",
            [
                "--language", "1364-2001", "-O3", "--cc", "--exe", "--build", "-CFLAGS", "-O2", "--Mdir", PathOf("model"), "--top-module", "pins",
                "-o", "pins", Bench("pins.v"), .. Modules, Bench("bench.cpp"),
            ]);
        return PathOf("model/pins");
    }
}
