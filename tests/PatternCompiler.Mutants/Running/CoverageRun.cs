using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text;

namespace PatternCompiler.Mutants.Running;

/// <summary>
/// The run without a fault: every test must pass, and each class notes the switches that it reaches. What a class reached is
/// remembered as long as neither the switched library nor the class's own file changes.
/// </summary>
internal static class CoverageRun
{
    private static readonly TimeSpan Limit = TimeSpan.FromMinutes(10);

    /// <summary>Runs in as many processes side by side as there are workers.</summary>
    /// <param name="copy">The working copy, with the switched library in place.</param>
    /// <param name="remembered">File of what is remembered from run to run.</param>
    /// <param name="workers">Processes side by side.</param>
    /// <exception cref="InvalidOperationException">A test fails although no mutant is on.</exception>
    public static TestClass[] Run(WorkingCopy copy, string remembered, int workers)
    {
        string library = Convert.ToHexString(SHA256.HashData(File.ReadAllBytes(Path.Combine(copy.Output, "PatternCompiler.dll"))));
        Dictionary<string, string> files = Directory.EnumerateFiles(Path.Combine(copy.Folder, "tests"), "*Tests.cs", SearchOption.AllDirectories)
            .GroupBy(path => Path.GetFileNameWithoutExtension(path)).ToDictionary(g => g.Key, g => string.Concat(g.Order(StringComparer.Ordinal).Select(File.ReadAllText)));
        var known = new ConcurrentDictionary<string, ClassOutcome>(
            File.Exists(remembered) ? File.ReadLines(remembered).Select(line => line.Split('\t', 2)).Select(pair => KeyValuePair.Create(pair[0], ClassOutcome.Read(pair[1])!)) : []);
        string[] classes = WorkerProcess.Classes(copy.Output);
        var open = new ConcurrentQueue<string>(classes.Where(name => !known.ContainsKey(KeyOf(name))));
        Parallel.For(0, workers, new ParallelOptions { MaxDegreeOfParallelism = workers }, _ =>
        {
            using var worker = new WorkerProcess(copy.Output);
            while (open.TryDequeue(out string? name))
            {
                known[KeyOf(name)] = worker.Ask(-1, name, Limit) ?? throw new InvalidOperationException($"The run without a fault does not end: {name}.");
            }
        });
        string[] red = [.. classes.Select(name => known[KeyOf(name)].Failed).OfType<string>()];
        File.WriteAllLines(remembered, classes.Where(name => known[KeyOf(name)].Failed is null).Select(name => $"{KeyOf(name)}\t{known[KeyOf(name)].Line}"));
        return red.Length == 0
            ? [.. classes.Select(name => new TestClass(name, known[KeyOf(name)].Milliseconds, known[KeyOf(name)].Reached.ToHashSet()))]
            : throw new InvalidOperationException($"Fails without a fault: {string.Join("; ", red)}");

        string KeyOf(string name) => Convert.ToHexString(SHA256.HashData(Encoding.UTF8.GetBytes($"{library} {name} {files.GetValueOrDefault(name[(name.LastIndexOf('.') + 1)..])}")));
    }
}
