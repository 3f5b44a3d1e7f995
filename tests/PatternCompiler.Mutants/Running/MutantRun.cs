using System.Diagnostics;

namespace PatternCompiler.Mutants.Running;

/// <summary>Meets one mutant with the test classes that reach it, nearest and shortest first, in a process of its own.</summary>
internal sealed class MutantRun(string folder, TestClass[] classes)
{
    // A loaded machine may be several times slower than during the run without a fault.
    private const int SlowdownAllowed = 5;
    private static readonly TimeSpan Floor = TimeSpan.FromSeconds(60);

    // A class that takes a larger part than a fifth of the whole run is left out.
    private const int SlowestShare = 5;

    private readonly long _all = classes.Sum(c => c.Milliseconds);

    /// <summary>The verdict, and the test that caught it.</summary>
    public (Verdict Verdict, string Test) Judge(Mutant mutant)
    {
        TestClass[] chosen = Choose(mutant);
        if (chosen.Length == 0)
        {
            return (Verdict.NotReached, "");
        }

        TimeSpan limit = Floor + TimeSpan.FromMilliseconds(SlowdownAllowed * chosen.Sum(c => c.Milliseconds));
        using Process worker = Process.Start(WorkerProcess.Start(folder, mutant.Number, ["try"]))!;
        worker.ErrorDataReceived += static (_, _) => { };
        worker.BeginErrorReadLine();
        Task<string> output = worker.StandardOutput.ReadToEndAsync();
        try
        {
            worker.StandardInput.Write(string.Concat(chosen.Select(c => $"{c.Assembly}\t{c.Name}\n")));
            worker.StandardInput.Close();
        }
        catch (IOException)
        {
            // It died before it had read them: that is a verdict.
        }

        bool hasEnded = worker.WaitForExit(limit);
        if (!hasEnded)
        {
            worker.Kill(entireProcessTree: true);
            worker.WaitForExit();
        }

        string[] said = output.Result.Split('\n').FirstOrDefault(line => line.StartsWith("failed\t", StringComparison.Ordinal) || line == "passed")?.Split('\t') ?? [];
        return said switch
        {
            ["failed", var test] => (Verdict.Caught, test),
            _ when !hasEnded => (Verdict.Timeout, ""),
            ["passed"] => (Verdict.Missed, ""),
            _ => (Verdict.Caught, $"the process died with code {worker.ExitCode}"),
        };
    }

    private TestClass[] Choose(Mutant mutant)
    {
        IEnumerable<TestClass> reaching = classes.Where(c => c.Reached.Contains(mutant.Number));
        if (mutant.InInitializer)
        {
            // An initialiser runs once a process: whoever reaches anything of the file may depend on it.
            int[] sameFile = NumbersOf(mutant.File);
            reaching = classes.Where(c => c.Reached.Contains(mutant.Number) || sameFile.Any(c.Reached.Contains));
        }

        // One class that takes as long as all others together would be run for every mutant that is missed.
        reaching = reaching.Where(c => c.Milliseconds <= _all / SlowestShare);
        string room = $".{mutant.File[..^3].Replace('/', '.')}";
        return [.. reaching.OrderByDescending(c => Common(room, c.Name["PatternCompiler".Length..].Replace(".Tests", "", StringComparison.Ordinal))).ThenBy(c => c.Milliseconds)];
    }

    private static int Common(string one, string other) => one.AsSpan().CommonPrefixLength(other);

    /// <summary>Set before the first verdict: which numbers a file has.</summary>
    public required Func<string, int[]> NumbersOf { get; init; }
}
