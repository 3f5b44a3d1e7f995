using System.Diagnostics;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace PatternCompiler.Mutants.Running;

/// <summary>
/// The run without a fault: every test must pass, and each class notes the switches that it reaches. What a class reached is
/// remembered as long as neither the switched library nor the class's own file changes.
/// </summary>
internal static class CoverageRun
{
    /// <summary>Runs in as many processes side by side as there are workers, each with a part of the classes.</summary>
    /// <param name="copy">The working copy, with the switched library in place.</param>
    /// <param name="remembered">File of what is remembered from run to run.</param>
    /// <param name="mutants">The largest number of a switch.</param>
    /// <param name="workers">Processes side by side.</param>
    /// <exception cref="InvalidOperationException">A test fails although no mutant is on.</exception>
    public static TestClass[] Run(WorkingCopy copy, string remembered, int mutants, int workers)
    {
        string library = Convert.ToHexString(SHA256.HashData(File.ReadAllBytes(Path.Combine(copy.Output, "PatternCompiler.dll"))));
        Dictionary<string, string> files = Directory.EnumerateFiles(Path.Combine(copy.Folder, "tests"), "*Tests.cs", SearchOption.AllDirectories)
            .GroupBy(path => Path.GetFileNameWithoutExtension(path)).ToDictionary(g => g.Key, g => string.Concat(g.Order(StringComparer.Ordinal).Select(File.ReadAllText)));
        Dictionary<string, string> known = File.Exists(remembered)
            ? File.ReadLines(remembered).Select(line => line.Split('\t', 2)).ToDictionary(pair => pair[0], pair => pair[1])
            : [];
        string[] classes = [.. Run(copy.Output, 0, ["classes"], "").Split('\n', StringSplitOptions.RemoveEmptyEntries)];
        string[] open = [.. classes.Where(name => !known.ContainsKey(KeyOf(name)))];
        var made = new string[workers];
        Parallel.For(0, workers, new ParallelOptions { MaxDegreeOfParallelism = workers }, i =>
            made[i] = Run(copy.Output, -(mutants + 1), ["cover"], string.Concat(open.Where((_, at) => at % workers == i).Select(name => name + "\n"))));
        foreach (string line in made.SelectMany(text => text.Split('\n', StringSplitOptions.RemoveEmptyEntries)).Where(line => line.StartsWith("reached\t", StringComparison.Ordinal)))
        {
            string[] parts = line.Split('\t', 4);
            known[KeyOf($"{parts[1]}\t{parts[2]}")] = line["reached\t".Length..];
        }

        string[][] lines = [.. classes.Select(name => known.TryGetValue(KeyOf(name), out string? line)
            ? line.Split('\t')
            : throw new InvalidOperationException($"The run without a fault says nothing of {name}."))];
        string[] red = [.. lines.Where(line => line[3].Length > 0).Select(line => line[3])];
        if (red.Length > 0)
        {
            throw new InvalidOperationException($"Fails without a fault: {string.Join("; ", red)}");
        }

        File.WriteAllLines(remembered, classes.Select(name => $"{KeyOf(name)}\t{known[KeyOf(name)]}"));
        return [.. lines.Select(line => new TestClass(
            line[0], line[1], long.Parse(line[2], CultureInfo.InvariantCulture),
            line[4].Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(n => int.Parse(n, CultureInfo.InvariantCulture)).ToHashSet()))];

        string KeyOf(string name) => Convert.ToHexString(SHA256.HashData(Encoding.UTF8.GetBytes($"{library} {name} {files.GetValueOrDefault(name[(name.LastIndexOf('.') + 1)..])}")));
    }

    private static string Run(string folder, int mutant, string[] arguments, string input)
    {
        ProcessStartInfo start = WorkerProcess.Start(folder, mutant, arguments);
        start.RedirectStandardError = false;
        using Process worker = Process.Start(start)!;
        Task<string> output = worker.StandardOutput.ReadToEndAsync();
        worker.StandardInput.Write(input);
        worker.StandardInput.Close();
        worker.WaitForExit();
        return worker.ExitCode == 0 ? output.Result : throw new InvalidOperationException($"The run without a fault ended with code {worker.ExitCode}: {output.Result}");
    }
}
