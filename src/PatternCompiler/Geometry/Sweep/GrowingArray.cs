namespace PatternCompiler.Geometry.Sweep;

/// <summary>An array that grows, with its items open to direct access: <c>Items[0..Count]</c>.</summary>
internal struct GrowingArray<T>(int capacity)
    where T : unmanaged
{
    public T[] Items = GC.AllocateUninitializedArray<T>(capacity);

    public int Count;

    public readonly Span<T> Span => Items.AsSpan(0, Count);

    public void Add(T item)
    {
        if (Count == Items.Length)
        {
            Reserve(Count + 1);
        }

        Items[Count++] = item;
    }

    /// <summary>Makes room for <paramref name="capacity"/> items.</summary>
    public void Reserve(int capacity)
    {
        if (capacity > Items.Length)
        {
            T[] larger = GC.AllocateUninitializedArray<T>((int)Math.Min(Array.MaxLength, Math.Max(capacity, (long)Items.Length * 2)));
            Items.AsSpan(0, Count).CopyTo(larger);
            Items = larger;
        }
    }

    public readonly T[] ToArray()
    {
        T[] copy = GC.AllocateUninitializedArray<T>(Count);
        Items.AsSpan(0, Count).CopyTo(copy);
        return copy;
    }
}
