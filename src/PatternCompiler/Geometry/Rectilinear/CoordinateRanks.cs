using System.Numerics;

namespace PatternCompiler.Geometry.Rectilinear;

/// <summary>
/// The ranks of coordinates among all that occur: by a bitmap of the whole range with the marks before each word counted,
/// or by a sorted list where the range is wide and the coordinates are few.
/// </summary>
internal sealed class CoordinateRanks
{
    private const int AlwaysGoodWords = 1 << 14;

    private readonly int min;
    private readonly ulong[] marks;
    private readonly int[] before;
    private int[] values;

    /// <summary>Expects coordinates within a range.</summary>
    /// <param name="min">The smallest.</param>
    /// <param name="max">The largest.</param>
    /// <param name="count">About how many.</param>
    public CoordinateRanks(int min, int max, int count)
    {
        this.min = min;
        long words = (((long)max - min) >> 6) + 1;
        bool isDense = words <= Math.Max(AlwaysGoodWords, count);
        marks = isDense ? new ulong[words] : [];
        before = isDense ? new int[words] : [];
        values = isDense ? [] : new int[count];
    }

    /// <summary>Number of distinct coordinates, once complete.</summary>
    public int Count { get; private set; }

    /// <summary>Notes a coordinate.</summary>
    public void Add(int coordinate)
    {
        if (marks.Length > 0)
        {
            int offset = coordinate - min;
            marks[offset >> 6] |= 1UL << offset;
            return;
        }

        if (Count == values.Length)
        {
            Array.Resize(ref values, Count * 2);
        }

        values[Count++] = coordinate;
    }

    /// <summary>Ends noting; from now on there are ranks.</summary>
    public void Complete()
    {
        int noted = Count;
        Count = 0;
        for (int w = 0; w < marks.Length; w++)
        {
            before[w] = Count;
            Count += BitOperations.PopCount(marks[w]);
        }

        if (marks.Length == 0)
        {
            Array.Sort(values, 0, noted);
            for (int i = 0; i < noted; i++)
            {
                if (Count == 0 || values[Count - 1] != values[i])
                {
                    values[Count++] = values[i];
                }
            }
        }
    }

    /// <summary>How many distinct coordinates are smaller than one that was noted.</summary>
    public int RankOf(int coordinate)
    {
        if (marks.Length == 0)
        {
            return Array.BinarySearch(values, 0, Count, coordinate);
        }

        int offset = coordinate - min;
        return before[offset >> 6] + BitOperations.PopCount(marks[offset >> 6] & ((1UL << offset) - 1));
    }

    /// <summary>The distinct coordinates, ascending.</summary>
    public int[] ToArray()
    {
        if (marks.Length == 0)
        {
            return values[..Count];
        }

        int[] all = GC.AllocateUninitializedArray<int>(Count);
        int count = 0;
        for (int w = 0; w < marks.Length; w++)
        {
            for (ulong rest = marks[w]; rest != 0; rest &= rest - 1)
            {
                all[count++] = min + (w << 6) + BitOperations.TrailingZeroCount(rest);
            }
        }

        return all;
    }
}
