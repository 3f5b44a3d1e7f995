namespace PatternCompiler.Geometry.Recurrence;

/// <summary>Numbers that are the same for rings that are the same but for a move, and hardly ever else.</summary>
internal static class RingHash
{
    private const ulong Multiplier = 0x9E3779B97F4A7C15;

    /// <summary>The numbers of all rings of a set.</summary>
    public static ulong[] OfAll(ContourSet rings)
    {
        ulong[] hashes = GC.AllocateUninitializedArray<ulong>(rings.Count);
        for (int r = 0; r < hashes.Length; r++)
        {
            ReadOnlySpan<GridPoint> ring = rings[r];
            GridPoint origin = ring.IsEmpty ? default : ring[0];
            ulong hash = (ulong)ring.Length;
            foreach (GridPoint point in ring)
            {
                hash = Mix(hash, point.X - origin.X, point.Y - origin.Y);
            }

            hashes[r] = hash;
        }

        return hashes;
    }

    /// <summary>Takes a vector into a number.</summary>
    public static ulong Mix(ulong hash, int x, int y)
    {
        hash = (hash ^ (uint)x ^ ((ulong)(uint)y << 32)) * Multiplier;
        return hash ^ (hash >> 29);
    }

    /// <summary>Whether rings that repeat others hold at least half of all points.</summary>
    public static bool MostRecur(ContourSet rings, ulong[] hashes)
    {
        ulong[] sorted = [.. hashes];
        var lengths = new int[rings.Count];
        for (int r = 0; r < lengths.Length; r++)
        {
            lengths[r] = rings[r].Length;
        }

        Array.Sort(sorted, lengths);
        long repeated = 0;
        for (int r = 1; r < sorted.Length; r++)
        {
            repeated += sorted[r] == sorted[r - 1] ? lengths[r] : 0;
        }

        return repeated * 2 >= rings.PointCount;
    }
}
