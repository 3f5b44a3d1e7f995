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

        using Process worker = Process.Start(WorkerProcess.Start(folder, mutant.Number, ["try"]))!;
        worker.ErrorDataReceived += static (_, _) => { };
        worker.BeginErrorReadLine();
        try
        {
            worker.StandardInput.Write(string.Concat(chosen.Select(c => $"{c.Assembly}\t{c.Name}\n")));
            worker.StandardInput.Close();
        }
        catch (IOException)
        {
            // It died before it had read them: that is a verdict.
        }

        string[] said = Listen(worker, chosen, out bool hasEnded);
        if (!hasEnded)
        {
            worker.Kill(entireProcessTree: true);
            worker.WaitForExit();
        }

        return said switch
        {
            ["failed", var test, ..] => (Verdict.Caught, test),
            _ when !hasEnded => (Verdict.Timeout, ""),
            ["passed", ..] => (Verdict.Missed, ""),
            _ => (Verdict.Caught, $"the process died with code {worker.ExitCode}"),
        };
    }

    /// <summary>
    /// What the worker says last; nothing if it dies on the way. It has not ended if it is silent for much longer than the class takes
    /// that it is at.
    /// </summary>
    private static string[] Listen(Process worker, TestClass[] chosen, out bool hasEnded)
    {
        string[] said = [];
        foreach (TestClass at in chosen)
        {
            Task<string[]> verdict = NextVerdict(worker.StandardOutput);
            hasEnded = verdict.Wait(Floor + TimeSpan.FromMilliseconds(SlowdownAllowed * at.Milliseconds));
            said = hasEnded ? verdict.Result : [];
            if (said is not ["passed", ..])
            {
                break;
            }
        }

        hasEnded = worker.WaitForExit(Floor);
        return said;
    }

    /// <summary>The next line that says how a class went; tests may print others. Empty at the end.</summary>
    private static async Task<string[]> NextVerdict(StreamReader output)
    {
        while (await output.ReadLineAsync() is { } line)
        {
            if (line.Split('\t') is ["failed" or "passed", ..] verdict)
            {
                return verdict;
            }
        }

        return [];
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
