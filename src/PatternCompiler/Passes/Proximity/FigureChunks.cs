namespace PatternCompiler.Passes.Proximity;

/// <summary>Work on figures one by one, on all processors, in parts large enough to be worth handing out.</summary>
internal static class FigureChunks
{
    /// <summary>Figures in a part.</summary>
    public const int Size = 2048;

    /// <summary>Calls <paramref name="action"/>(figure) for every figure, in no order.</summary>
    public static void ForEach(int figures, Action<int> action, CancellationToken cancellation) =>
        Parallel.For(0, Count(figures), new ParallelOptions { CancellationToken = cancellation }, chunk =>
        {
            int end = Math.Min(figures, (chunk + 1) * Size);
            for (int figure = chunk * Size; figure < end; figure++)
            {
                action(figure);
            }
        });

    /// <summary>How many parts there are.</summary>
    public static int Count(int figures) => (figures + Size - 1) / Size;
}
