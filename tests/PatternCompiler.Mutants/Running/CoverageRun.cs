using System.Diagnostics;
using System.Globalization;

namespace PatternCompiler.Mutants.Running;

/// <summary>The run without a fault: every test must pass, and each class notes the switches that it reaches.</summary>
internal static class CoverageRun
{
    /// <summary>Runs in as many processes side by side as there are workers, each with every so-manieth class.</summary>
    /// <exception cref="InvalidOperationException">A test fails although no mutant is on.</exception>
    public static TestClass[] Run(string folder, int mutants, int workers)
    {
        string[] outputs = [.. Enumerable.Range(0, workers).Select(i => Path.Combine(folder, $"reached-{i}.tsv"))];
        Parallel.For(0, workers, new ParallelOptions { MaxDegreeOfParallelism = workers }, i =>
        {
            ProcessStartInfo start = WorkerProcess.Start(
                folder, -(mutants + 1), ["cover", outputs[i], i.ToString(CultureInfo.InvariantCulture), workers.ToString(CultureInfo.InvariantCulture)]);
            start.RedirectStandardError = false;
            using Process worker = Process.Start(start)!;
            string errors = worker.StandardOutput.ReadToEnd();
            worker.WaitForExit();
            if (worker.ExitCode != 0)
            {
                throw new InvalidOperationException($"The run without a fault ended with code {worker.ExitCode}: {errors}");
            }
        });
        string[][] lines = [.. outputs.SelectMany(File.ReadLines).Select(line => line.Split('\t'))];
        string[] red = [.. lines.Where(line => line[3].Length > 0).Select(line => line[3])];
        if (red.Length > 0)
        {
            throw new InvalidOperationException($"Fails without a fault: {string.Join("; ", red)}");
        }

        return [.. lines.Select(line => new TestClass(
            line[0], line[1], long.Parse(line[2], CultureInfo.InvariantCulture),
            line[4].Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(n => int.Parse(n, CultureInfo.InvariantCulture)).ToHashSet()))];
    }
}
