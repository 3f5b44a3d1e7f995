namespace PatternCompiler.Passes.Order;

/// <summary>
/// Entries and exits of all items, numbered 2·item and 2·item + 1. A last item stands for start and end: the beam leaves it
/// at the start place; it is entered at the end place if there is one, and otherwise from anywhere at no cost.
/// </summary>
internal sealed class Endpoints
{
    private readonly double[] x;
    private readonly double[] y;

    // Endpoints from this one on cost nothing to reach or leave.
    private readonly int firstFree;

    public Endpoints(ReadOnlySpan<TravelItem> items, TravelOptions options)
    {
        ItemCount = items.Length + 1;
        x = new double[2 * ItemCount];
        y = new double[2 * ItemCount];
        for (int i = 0; i < items.Length; i++)
        {
            (x[2 * i], y[2 * i]) = (items[i].EntryX, items[i].EntryY);
            (x[2 * i + 1], y[2 * i + 1]) = (items[i].ExitX, items[i].ExitY);
        }

        // The start item is left at its lower endpoint, so that the free one is the last of all.
        (x[^2], y[^2]) = options.Start ?? (0, 0);
        (x[^1], y[^1]) = options.End ?? (0, 0);
        firstFree = options.Start is null ? 2 * items.Length : options.End is null ? 2 * ItemCount - 1 : 2 * ItemCount;
    }

    /// <summary>Number of items, the start included.</summary>
    public int ItemCount { get; }

    /// <summary>Number of the start item.</summary>
    public int StartItem => ItemCount - 1;

    public int Count => x.Length;

    public double X(int endpoint) => x[endpoint];

    public double Y(int endpoint) => y[endpoint];

    /// <summary>Travel between two endpoints.</summary>
    public double Distance(int a, int b)
    {
        if (a >= firstFree || b >= firstFree)
        {
            return 0;
        }

        double dx = x[a] - x[b];
        double dy = y[a] - y[b];
        return Math.Sqrt(dx * dx + dy * dy);
    }
}
