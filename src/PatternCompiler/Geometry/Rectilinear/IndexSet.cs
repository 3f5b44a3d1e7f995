using System.Numerics;

namespace PatternCompiler.Geometry.Rectilinear;

/// <summary>A set of small integers with neighbours found in constant time: a bit for each, and bits that tell which words are not empty.</summary>
internal sealed class IndexSet
{
    private readonly ulong[][] levels;

    public IndexSet(int capacity)
    {
        var list = new List<ulong[]>();
        do
        {
            capacity = (capacity + 63) >> 6;
            list.Add(new ulong[Math.Max(capacity, 1)]);
        }
        while (capacity > 1);

        levels = [.. list];
    }

    public bool Contains(int index) => ((levels[0][index >> 6] >> index) & 1) != 0;

    public void Add(int index)
    {
        foreach (ulong[] level in levels)
        {
            ref ulong word = ref level[index >> 6];
            bool wasEmpty = word == 0;
            word |= 1UL << index;
            if (!wasEmpty)
            {
                return;
            }

            index >>= 6;
        }
    }

    public void Remove(int index)
    {
        foreach (ulong[] level in levels)
        {
            level[index >> 6] &= ~(1UL << index);
            if (level[index >> 6] != 0)
            {
                return;
            }

            index >>= 6;
        }
    }

    /// <summary>The largest member below <paramref name="index"/>, or -1.</summary>
    public int Before(int index)
    {
        for (int i = 0; i < levels.Length; i++)
        {
            ulong below = levels[i][index >> 6] & ((1UL << index) - 1);
            if (below != 0)
            {
                index = (index & ~63) | (63 - BitOperations.LeadingZeroCount(below));
                while (i-- > 0)
                {
                    index = (index << 6) | (63 - BitOperations.LeadingZeroCount(levels[i][index]));
                }

                return index;
            }

            index >>= 6;
        }

        return -1;
    }

    /// <summary>The smallest member above <paramref name="index"/>, or -1.</summary>
    public int After(int index)
    {
        for (int i = 0; i < levels.Length; i++)
        {
            ulong above = (index & 63) == 63 ? 0 : levels[i][index >> 6] & (ulong.MaxValue << ((index & 63) + 1));
            if (above != 0)
            {
                index = (index & ~63) | BitOperations.TrailingZeroCount(above);
                while (i-- > 0)
                {
                    index = (index << 6) | BitOperations.TrailingZeroCount(levels[i][index]);
                }

                return index;
            }

            index >>= 6;
        }

        return -1;
    }
}
