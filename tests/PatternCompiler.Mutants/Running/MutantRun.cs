using System.Collections.Concurrent;

namespace PatternCompiler.Mutants.Running;

/// <summary>
/// Meets one mutant with the test classes that reach it, nearest and shortest first. A process is used for many mutants; what a
/// used one says counts only where nothing that an earlier mutant left in memory can have said it.
/// </summary>
internal sealed class MutantRun(string folder, TestClass[] classes) : IDisposable
{
    // A loaded machine may be several times slower than during the run without a fault.
    private const int SlowdownAllowed = 5;
    private static readonly TimeSpan Floor = TimeSpan.FromSeconds(30);

    // A class that takes a larger part than a fifth of the whole run is left out.
    private const int SlowestShare = 5;

    private readonly long _all = classes.Sum(c => c.Milliseconds);
    private readonly ConcurrentBag<WorkerProcess> _idle = [];

    /// <summary>Which numbers a file has.</summary>
    public required Func<string, int[]> NumbersOf { get; init; }

    /// <summary>Most time of tests for a mutant, as they took without a fault; the nearest class always runs.</summary>
    public long MostMilliseconds { get; init; } = long.MaxValue;

    /// <summary>The verdict, and the test that caught it.</summary>
    public (Verdict Verdict, string Test) Judge(Mutant mutant)
    {
        TestClass[] chosen = Choose(mutant);
        if (chosen.Length == 0)
        {
            return (Verdict.NotReached, "");
        }

        // What runs once a process has run in a used one.
        if (mutant.InInitializer || !_idle.TryTake(out WorkerProcess? used))
        {
            return Meet(new WorkerProcess(folder), mutant, chosen).Verdict;
        }

        ((Verdict, string) verdict, bool isCertain) = Meet(used, mutant, chosen);
        return isCertain ? verdict : Meet(new WorkerProcess(folder), mutant, chosen).Verdict;
    }

    /// <summary>Whether any class would meet it.</summary>
    public bool IsReached(Mutant mutant) => Choose(mutant).Length > 0;

    public void Dispose()
    {
        foreach (WorkerProcess worker in _idle)
        {
            worker.Dispose();
        }
    }

    /// <summary>
    /// The verdict, and whether a fresh process would say the same: a failure must go with the mutant, and a miss must have run its place.
    /// </summary>
    private ((Verdict, string) Verdict, bool IsCertain) Meet(WorkerProcess worker, Mutant mutant, TestClass[] chosen)
    {
        bool ran = false;
        foreach (TestClass at in chosen)
        {
            if (worker.Ask(mutant.Number, at.Line, LimitOf(at)) is not { } outcome)
            {
                bool hangs = worker.Hangs;
                worker.Dispose();
                return (hangs ? (Verdict.Timeout, "") : (Verdict.Caught, $"the process died in {at.Name}"), true);
            }

            ran |= outcome.Reached.Length > 0;
            if (outcome.Failed is { } failed)
            {
                bool passesWithout = worker.Ask(0, at.Line, LimitOf(at)) is { Failed: null };
                Release(worker, passesWithout && !mutant.InInitializer);
                return ((Verdict.Caught, failed), passesWithout);
            }
        }

        Release(worker, !mutant.InInitializer);
        return ((Verdict.Missed, ""), ran);
    }

    private void Release(WorkerProcess worker, bool isSound)
    {
        if (isSound)
        {
            _idle.Add(worker);
        }
        else
        {
            worker.Dispose();
        }
    }

    private static TimeSpan LimitOf(TestClass type) => Floor + TimeSpan.FromMilliseconds(SlowdownAllowed * type.Milliseconds);

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
        long taken = 0;
        return
        [
            .. reaching.OrderByDescending(c => Common(room, c.Name["PatternCompiler".Length..].Replace(".Tests", "", StringComparison.Ordinal))).ThenBy(c => c.Milliseconds)
                .TakeWhile(c => (taken += c.Milliseconds) <= MostMilliseconds || taken == c.Milliseconds),
        ];
    }

    private static int Common(string one, string other) => one.AsSpan().CommonPrefixLength(other);
}
