namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Of a large input the band of grid lines in which edges crowd most. What crosses too often does so there as a rule, and
/// noding the band alone tells it before tables of all edges take their memory.
/// </summary>
internal static class CrowdedBand
{
    private const int LeastPoints = 4_000_000;
    private const int BandsPerInput = 32;
    private const int Samples = 1 << 14;

    /// <summary>The edges whose lower end lies in the band, or null where the input is too small to pay.</summary>
    /// <param name="first">Rings of the first operand.</param>
    /// <param name="second">Rings of the second operand, or null.</param>
    /// <param name="leastPoints">Points below which an input is small.</param>
    public static InputEdge[]? Of(ContourSet first, ContourSet? second, int leastPoints = LeastPoints)
    {
        long points = (long)first.PointCount + (second?.PointCount ?? 0);
        if (points < leastPoints)
        {
            return null;
        }

        (int low, int high) = Find(first, second, (int)(points / Samples) + 1);
        var edges = new GrowingArray<InputEdge>((int)(points / BandsPerInput));
        EdgeTable.AppendWithin(first, 0, low, high, ref edges);
        if (second is not null)
        {
            EdgeTable.AppendWithin(second, InputEdge.SecondOperand, low, high, ref edges);
        }

        return edges.Count == 0 || edges.Count > points / 2 ? null : edges.ToArray();
    }

    /// <summary>The narrowest band that holds its share of evenly picked points.</summary>
    private static (int Low, int High) Find(ContourSet first, ContourSet? second, int stride)
    {
        var heights = new List<int>(Samples + 2);
        Sample(first, stride, heights);
        if (second is not null)
        {
            Sample(second, stride, heights);
        }

        heights.Sort();
        int share = Math.Max(1, heights.Count / BandsPerInput);
        int best = 0;
        for (int i = 1; i + share < heights.Count; i++)
        {
            best = (long)heights[i + share] - heights[i] < (long)heights[best + share] - heights[best] ? i : best;
        }

        return (heights[best], heights[best + share]);
    }

    private static void Sample(ContourSet set, int stride, List<int> heights)
    {
        int passed = 0;
        for (int r = 0; r < set.Count; r++)
        {
            ReadOnlySpan<GridPoint> ring = set[r];
            for (; passed < ring.Length; passed += stride)
            {
                heights.Add(ring[passed].Y);
            }

            passed -= ring.Length;
        }
    }
}
