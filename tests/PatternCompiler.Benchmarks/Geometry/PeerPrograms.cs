using System.Diagnostics;
using System.Globalization;
using System.Text;
using PatternCompiler.Geometry;

namespace PatternCompiler.Benchmarks.Geometry;

/// <summary>
/// Builds the programs under Peers/ with the system's C++ compiler and runs them on a workload. A library whose headers
/// are not installed (Debian: libboost-dev, libpolyclipping-dev, libgeos-dev) is left out.
/// </summary>
internal sealed class PeerPrograms : IDisposable
{
    private static readonly (string Name, string[] Libraries)[] Sources =
    [
        ("boost_polygon", []), ("clipper6", ["-lpolyclipping"]), ("geos", ["-lgeos_c"]),
    ];

    private readonly string folder = Directory.CreateTempSubdirectory("peers").FullName;

    public PeerPrograms(string sourceFolder)
    {
        var names = new List<string>();
        foreach ((string name, string[] libraries) in Sources)
        {
            string[] arguments = ["-O2", "-march=native", "-o", Path.Combine(folder, name), Path.Combine(sourceFolder, name + ".cpp"), .. libraries];
            if (Run("g++", arguments, TimeSpan.FromMinutes(3)) is not null)
            {
                names.Add(name);
            }
            else
            {
                Console.WriteLine($"{name} is left out: it does not compile here.");
            }
        }

        Names = names;
    }

    /// <summary>The programs that are there.</summary>
    public IReadOnlyList<string> Names { get; }

    /// <summary>Times of one program: what it measured, and seconds.</summary>
    public Dictionary<string, double> Measure(string program, string workload, int runs, TimeSpan patience, bool manhattan)
    {
        string file = Path.Combine(folder, workload + ".txt");
        if (!File.Exists(file))
        {
            Write(Workloads.Create(workload), file);
        }

        string evenOdd = Workloads.Rule(workload) == FillRule.EvenOdd ? "1" : "0";
        string[] arguments = [file, runs.ToString(CultureInfo.InvariantCulture), evenOdd, manhattan ? "1" : "0"];
        var times = new Dictionary<string, double>();
        foreach (string line in (Run(Path.Combine(folder, program), arguments, patience) ?? "").Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            string[] words = line.Split(' ');
            times[words[0]] = double.Parse(words[1], CultureInfo.InvariantCulture);
        }

        return times;
    }

    public void Dispose() => Directory.Delete(folder, recursive: true);

    private static void Write(ContourSet rings, string path)
    {
        using var writer = new StreamWriter(path);
        var line = new StringBuilder();
        for (int r = 0; r < rings.Count; r++)
        {
            line.Clear();
            foreach (GridPoint point in rings[r])
            {
                line.Append(CultureInfo.InvariantCulture, $"{point.X} {point.Y} ");
            }

            writer.WriteLine(line);
        }
    }

    /// <summary>Output of a program; what it printed so far if it takes too long, null if it cannot start or fails.</summary>
    private static string? Run(string program, string[] arguments, TimeSpan patience)
    {
        using var process = new Process { StartInfo = new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true } };
        var output = new StringBuilder();
        process.OutputDataReceived += (_, line) => output.Append(line.Data).Append('\n');
        try
        {
            process.Start();
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return null;
        }

        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        if (!process.WaitForExit(patience))
        {
            process.Kill();
            process.WaitForExit();
            return output.ToString();
        }

        process.WaitForExit();
        return process.ExitCode == 0 ? output.ToString() : null;
    }
}
