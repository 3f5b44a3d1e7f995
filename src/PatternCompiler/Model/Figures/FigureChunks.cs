namespace PatternCompiler.Model.Figures;

/// <summary>Work on figures one by one, on all processors, in parts large enough to be worth handing out.</summary>
internal static class FigureChunks
{
    /// <summary>Figures in a part.</summary>
    public const int Size = 2048;

    /// <summary>Calls <paramref name="action"/>(figure) for every figure, in no order.</summary>
    public static void ForEach(int figures, Action<int> action, CancellationToken cancellation) =>
        ForParts(
            figures,
            (_, first, end) =>
            {
                for (int figure = first; figure < end; figure++)
                {
                    action(figure);
                }
            },
            cancellation);

    /// <summary>Calls <paramref name="action"/>(part, first figure, end) for every part, in no order.</summary>
    public static void ForParts(int figures, Action<int, int, int> action, CancellationToken cancellation) =>
        Parallel.For(
            0,
            Count(figures),
            new ParallelOptions { CancellationToken = cancellation },
            part => action(part, part * Size, Math.Min(figures, (part + 1) * Size)));

    /// <summary>How many parts there are.</summary>
    public static int Count(int figures) => (figures + Size - 1) / Size;
}
