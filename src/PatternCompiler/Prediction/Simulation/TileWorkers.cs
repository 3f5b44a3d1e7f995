using System.Collections.Concurrent;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Work on many tiles, or on parts of a map, as many at a time as there are processors. What serves a worker takes memory, and serves again.</summary>
internal static class TileWorkers
{
    /// <summary>Does all of it, in any order.</summary>
    /// <typeparam name="T">What serves a worker.</typeparam>
    /// <param name="count">How many.</param>
    /// <param name="newWorker">Makes what serves a worker.</param>
    /// <param name="work">Takes a number from 0 on.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public static void Run<T>(int count, Func<T> newWorker, Action<int, T> work, CancellationToken cancellation)
    {
        var idle = new ConcurrentBag<T>();
        Parallel.For(0, count, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount, CancellationToken = cancellation }, i =>
        {
            T worker = idle.TryTake(out T? free) ? free : newWorker();
            work(i, worker);
            idle.Add(worker);
        });
    }
}
