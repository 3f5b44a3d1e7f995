namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Cuts an axis into stretches of whole grid steps that hold about equally many samples, and finds the stretch of a
/// coordinate in constant time.
/// </summary>
internal sealed class AxisPartition
{
    private const int TableBits = 10;

    private readonly int[] table = new int[(1 << TableBits) + 1];
    private int[] starts = new int[16];
    private int shift;
    private uint span;

    /// <summary>Number of stretches, 1 or more.</summary>
    public int Count { get; private set; }

    /// <summary>First coordinate of a stretch.</summary>
    public int First(int index) => starts[index];

    /// <summary>Last coordinate of a stretch.</summary>
    public int Last(int index) => starts[index + 1] - 1;

    /// <summary>Cuts [<paramref name="min"/>, <paramref name="max"/>]. Sorts the samples.</summary>
    public void Cut(int min, int max, Span<int> samples, int wanted)
    {
        if (starts.Length < wanted + 2)
        {
            starts = new int[Math.Max(wanted + 2, starts.Length * 2)];
        }

        Count = 1;
        starts[0] = min;
        if (wanted > 1 && samples.Length > 0)
        {
            samples.Sort();
            for (int i = 1; i < wanted; i++)
            {
                int cut = samples[(int)((long)i * samples.Length / wanted)];
                if (cut > starts[Count - 1] && cut <= max)
                {
                    starts[Count++] = cut;
                }
            }
        }

        starts[Count] = max + 1;
        BuildTable(min, max);
    }

    /// <summary>The stretch that holds a coordinate; coordinates outside go to the first or last.</summary>
    public int Find(int coordinate)
    {
        long offset = (long)coordinate - starts[0];
        if (offset <= 0)
        {
            return 0;
        }

        if (offset >= span)
        {
            return Count - 1;
        }

        int index = table[(uint)offset >> shift];
        while (starts[index + 1] <= coordinate)
        {
            index++;
        }

        return index;
    }

    private void BuildTable(int min, int max)
    {
        span = (uint)((long)max - min + 1);
        shift = Math.Max(0, 32 - System.Numerics.BitOperations.LeadingZeroCount(span) - TableBits);
        int used = (int)((span - 1) >> shift) + 1;
        int index = 0;
        for (int i = 0; i < used; i++)
        {
            long first = min + ((long)i << shift);
            while (index + 1 < Count && starts[index + 1] <= first)
            {
                index++;
            }

            table[i] = index;
        }
    }
}
