namespace PatternCompiler.Prediction.Compare;

/// <summary>Compares two sequences of items.</summary>
internal static class ItemComparer
{
    /// <summary>Compares in order and, by counting equal items, out of order.</summary>
    /// <param name="first">Items of the first document.</param>
    /// <param name="second">Items of the second document.</param>
    /// <param name="kind">What an item is called, e.g. "figure".</param>
    /// <param name="describe">Text of one item of the first document (false) or the second (true).</param>
    public static ItemComparison Compare<T>(
        IReadOnlyList<T> first, IReadOnlyList<T> second, string kind, Func<T, bool, string> describe, CancellationToken cancellation)
        where T : struct, IEquatable<T>
    {
        int common = Math.Min(first.Count, second.Count);
        long differing = Math.Max(first.Count, second.Count) - common;
        int at = -1;
        for (int i = 0; i < common; i++)
        {
            if (!first[i].Equals(second[i]))
            {
                differing++;
                at = at < 0 ? i : at;
            }
        }

        at = at < 0 && differing > 0 ? common : at;
        ItemDifference? difference = at < 0 ? null : new ItemDifference(
            $"{kind} {at}",
            at < first.Count ? describe(first[at], false) : null,
            at < second.Count ? describe(second[at], true) : null);
        (long onlyFirst, long onlySecond) = differing == 0 ? (0, 0) : CountUnmatched(first, second, cancellation);
        return new ItemComparison(first.Count, second.Count, differing, difference, onlyFirst, onlySecond);
    }

    private static (long OnlyFirst, long OnlySecond) CountUnmatched<T>(IReadOnlyList<T> first, IReadOnlyList<T> second, CancellationToken cancellation)
        where T : struct, IEquatable<T>
    {
        var balance = new Dictionary<T, long>(first.Count);
        foreach (T item in first)
        {
            balance[item] = balance.GetValueOrDefault(item) + 1;
        }

        cancellation.ThrowIfCancellationRequested();
        foreach (T item in second)
        {
            balance[item] = balance.GetValueOrDefault(item) - 1;
        }

        return (balance.Values.Where(count => count > 0).Sum(), -balance.Values.Where(count => count < 0).Sum());
    }
}
