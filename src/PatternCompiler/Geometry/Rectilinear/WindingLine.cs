using System.Numerics;
using System.Runtime.Intrinsics;
using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Geometry.Rectilinear;

/// <summary>
/// The winding numbers along the sweep line, one for each cell between neighbouring x coordinates of the input. Cells are
/// grouped in blocks of 64 and blocks in groups of 64; a change of a whole block or group is noted once for all of it,
/// and looked into only where it may change what is covered.
/// </summary>
internal sealed class WindingLine<TRule>
    where TRule : struct, IWindingRule
{
    private const int Size = 64;
    private const int Shift = 6;
    private const int NarrowStretch = 8;

    private readonly int[] cells;
    private readonly Range[] blocks;
    private readonly Range[] groups;
    private GrowingArray<CoverChange> changes = new(64);

    /// <summary>Starts with <paramref name="initial"/> in every cell, which must not be covered.</summary>
    public WindingLine(int cellCount, int initial)
    {
        int groupCount = (cellCount >> (2 * Shift)) + 1;
        cells = new int[groupCount * Size * Size];
        blocks = new Range[groupCount * Size];
        groups = new Range[groupCount];
        if (initial != 0)
        {
            Array.Fill(cells, initial);
            Array.Fill(blocks, new Range { Lowest = initial, Highest = initial });
            Array.Fill(groups, new Range { Lowest = initial, Highest = initial });
        }
    }

    /// <summary>Changes of cover since <see cref="Clear"/>, from left to right provided the stretches were added so.</summary>
    public ReadOnlySpan<CoverChange> Changes => changes.Span;

    /// <summary>Forgets the changes noted.</summary>
    public void Clear() => changes.Count = 0;

    /// <summary>Adds to the winding numbers of the cells [<paramref name="first"/>, <paramref name="end"/>).</summary>
    public void Add(int first, int end, int delta)
    {
        while (first < end)
        {
            int group = first >> (2 * Shift);
            int groupStart = group << (2 * Shift);
            int groupEnd = groupStart + (Size * Size);
            if (first == groupStart && end >= groupEnd)
            {
                AddToGroup(group, delta);
                first = groupEnd;
            }
            else
            {
                int stop = Math.Min(end, groupEnd);
                groups[group].IsStale = true;
                AddInGroup(first, stop, groups[group].Pending, delta);
                first = stop;
            }
        }
    }

    private void AddToGroup(int group, int delta)
    {
        ref Range range = ref groups[group];
        if (range.IsStale)
        {
            Refresh(ref range, group);
        }

        Cover before = TRule.CoverOf(range.Lowest + range.Pending, range.Highest + range.Pending);
        Cover after = TRule.CoverOf(range.Lowest + range.Pending + delta, range.Highest + range.Pending + delta);
        int start = group << (2 * Shift);
        if (before == Cover.Mixed || after == Cover.Mixed)
        {
            int pending = range.Pending;
            range.IsStale = true;
            AddInGroup(start, start + (Size * Size), pending, delta);
            return;
        }

        range.Pending += delta;
        if (before != after)
        {
            Note(start, start + (Size * Size), after == Cover.All);
        }
    }

    private void AddInGroup(int first, int end, int pending, int delta)
    {
        while (first < end)
        {
            int block = first >> Shift;
            int blockStart = block << Shift;
            int blockEnd = blockStart + Size;
            int stop = Math.Min(end, blockEnd);
            if (first == blockStart && stop == blockEnd)
            {
                AddToBlock(block, pending, delta);
            }
            else
            {
                AddInBlock(first, stop, pending, delta);
            }

            first = stop;
        }
    }

    private void AddToBlock(int block, int pending, int delta)
    {
        ref Range range = ref blocks[block];
        if (range.IsStale)
        {
            Refresh(ref range, block << Shift, Size);
        }

        int offset = pending + range.Pending;
        Cover before = TRule.CoverOf(range.Lowest + offset, range.Highest + offset);
        Cover after = TRule.CoverOf(range.Lowest + offset + delta, range.Highest + offset + delta);
        range.Pending += delta;
        int start = block << Shift;
        if (before == Cover.Mixed || after == Cover.Mixed)
        {
            Compare(start, offset, delta);
        }
        else if (before != after)
        {
            Note(start, start + Size, after == Cover.All);
        }
    }

    private void AddInBlock(int first, int end, int pending, int delta)
    {
        int block = first >> Shift;
        ref Range range = ref blocks[block];
        int offset = pending + range.Pending;
        if (end - first > NarrowStretch && !range.IsStale)
        {
            Cover before = TRule.CoverOf(range.Lowest + offset, range.Highest + offset);
            Cover after = TRule.CoverOf(range.Lowest + offset + delta, range.Highest + offset + delta);
            if (before == after && before != Cover.Mixed)
            {
                AddQuietly(first, end, delta);
                Refresh(ref range, block << Shift, Size);
                return;
            }
        }

        range.IsStale = true;
        for (int cell = first; cell < end; cell++)
        {
            int winding = cells[cell] + offset;
            cells[cell] += delta;
            bool covered = TRule.Covers(winding + delta);
            if (covered != TRule.Covers(winding))
            {
                Note(cell, cell + 1, covered);
            }
        }

        if (end - first > NarrowStretch)
        {
            Refresh(ref range, block << Shift, Size);
        }
    }

    private void AddQuietly(int first, int end, int delta)
    {
        foreach (ref int cell in cells.AsSpan(first, end - first))
        {
            cell += delta;
        }
    }

    /// <summary>Notes where adding to a whole block changes the cover.</summary>
    private void Compare(int start, int offset, int delta)
    {
        ulong toggled = 0, covered = 0;
        var before = Vector256.Create(offset);
        var after = Vector256.Create(offset + delta);
        for (int i = 0; i < Size; i += Vector256<int>.Count)
        {
            Vector256<int> windings = Vector256.LoadUnsafe(ref cells[start + i]);
            Vector256<int> now = TRule.Covers(windings + after);
            toggled |= (ulong)(now ^ TRule.Covers(windings + before)).ExtractMostSignificantBits() << i;
            covered |= (ulong)now.ExtractMostSignificantBits() << i;
        }

        while (toggled != 0)
        {
            int first = BitOperations.TrailingZeroCount(toggled);
            bool isCovered = ((covered >> first) & 1) != 0;
            ulong same = toggled & (isCovered ? covered : ~covered);
            int length = BitOperations.TrailingZeroCount(~(same >> first));
            Note(start + first, start + first + length, isCovered);
            toggled &= first + length == Size ? 0 : ulong.MaxValue << (first + length);
        }
    }

    private void Note(int first, int end, bool covered)
    {
        if (changes.Count > 0)
        {
            ref CoverChange last = ref changes.Items[changes.Count - 1];
            if (last.End == first && last.IsCoveredAbove == covered)
            {
                last = last with { End = end };
                return;
            }
        }

        changes.Add(new CoverChange(first, end, covered));
    }

    private void Refresh(ref Range range, int start, int count)
    {
        Vector256<int> lowest = Vector256.LoadUnsafe(ref cells[start]);
        Vector256<int> highest = lowest;
        for (int i = Vector256<int>.Count; i < count; i += Vector256<int>.Count)
        {
            Vector256<int> windings = Vector256.LoadUnsafe(ref cells[start + i]);
            lowest = Vector256.Min(lowest, windings);
            highest = Vector256.Max(highest, windings);
        }

        int low = lowest[0], high = highest[0];
        for (int i = 1; i < Vector256<int>.Count; i++)
        {
            low = Math.Min(low, lowest[i]);
            high = Math.Max(high, highest[i]);
        }

        range.Lowest = low;
        range.Highest = high;
        range.IsStale = false;
    }

    private void Refresh(ref Range range, int group)
    {
        int low = int.MaxValue, high = int.MinValue;
        for (int block = group << Shift; block < (group + 1) << Shift; block++)
        {
            ref Range part = ref blocks[block];
            if (part.IsStale)
            {
                Refresh(ref part, block << Shift, Size);
            }

            low = Math.Min(low, part.Lowest + part.Pending);
            high = Math.Max(high, part.Highest + part.Pending);
        }

        range.Lowest = low;
        range.Highest = high;
        range.IsStale = false;
    }

    /// <summary>Bounds of the winding numbers of a block or group, not counting what is pending for the whole.</summary>
    private struct Range
    {
        public int Lowest;
        public int Highest;
        public int Pending;
        public bool IsStale;
    }
}

/// <summary>
/// A stretch [First, End) of cells whose cover differs below and above a grid line: a horizontal border edge of the result.
/// </summary>
internal readonly record struct CoverChange(int First, int End, bool IsCoveredAbove);
