namespace PatternCompiler.Geometry.Sweep;

/// <summary>Runs the parts of a work on several threads, or one after the other on this one.</summary>
internal static class ParallelWork
{
    public static void For(int parts, int threads, Action<int> run, CancellationToken cancellation)
    {
        if (threads > 1 && parts > 1)
        {
            Parallel.For(0, parts, new ParallelOptions { MaxDegreeOfParallelism = threads, CancellationToken = cancellation }, run);
            return;
        }

        for (int part = 0; part < parts; part++)
        {
            cancellation.ThrowIfCancellationRequested();
            run(part);
        }
    }
}
