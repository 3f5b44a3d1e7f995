namespace PatternCompiler.Geometry.Recurrence;

/// <summary>The rings of an area by island: what islands cover lies at least one grid step apart.</summary>
internal sealed class RingIslands
{
    private readonly ContourSet rings;
    private readonly ulong[] hashes;
    private readonly int[] starts;
    private readonly int[] members;

    private RingIslands(ContourSet rings, ulong[] hashes, int[] starts, int[] members)
    {
        this.rings = rings;
        this.hashes = hashes;
        this.starts = starts;
        this.members = members;
    }

    /// <summary>Number of islands.</summary>
    public int Count => starts.Length - 1;

    /// <summary>The rings of an island, in their order.</summary>
    public ReadOnlySpan<int> Rings(int island) => members.AsSpan(starts[island]..starts[island + 1]);

    /// <summary>Number of points of an island.</summary>
    public int PointCount(int island)
    {
        int count = 0;
        foreach (int ring in Rings(island))
        {
            count += rings[ring].Length;
        }

        return count;
    }

    /// <summary>The first point of the first ring.</summary>
    public GridPoint Origin(int island) => rings[Rings(island)[0]][0];

    /// <summary>Finds the islands, in the order of their first rings. No ring may be empty.</summary>
    /// <param name="rings">Rings of the area.</param>
    /// <param name="hashes">Their numbers (see <see cref="RingHash"/>).</param>
    public static RingIslands Find(ContourSet rings, ulong[] hashes)
    {
        var boxes = new GridBox[rings.Count];
        for (int r = 0; r < boxes.Length; r++)
        {
            boxes[r] = GridBox.Around(rings[r]);
        }

        int[] leads = BoxIslands.Find(boxes);
        var number = new int[leads.Length];
        var starts = new List<int> { 0 };
        for (int r = 0; r < leads.Length; r++)
        {
            if (leads[r] == r)
            {
                number[r] = starts.Count - 1;
                starts.Add(0);
            }

            starts[number[leads[r]] + 1]++;
        }

        for (int i = 1; i < starts.Count; i++)
        {
            starts[i] += starts[i - 1];
        }

        int[] next = [.. starts];
        var members = new int[leads.Length];
        for (int r = 0; r < leads.Length; r++)
        {
            members[next[number[leads[r]]]++] = r;
        }

        return new RingIslands(rings, hashes, [.. starts], members);
    }

    /// <summary>The same number for islands that are the same but for a move.</summary>
    public ulong HashOf(int island)
    {
        GridPoint origin = Origin(island);
        ulong hash = 0;
        foreach (int ring in Rings(island))
        {
            GridPoint first = rings[ring][0];
            hash = RingHash.Mix(hash ^ hashes[ring], first.X - origin.X, first.Y - origin.Y);
        }

        return hash;
    }

    /// <summary>Whether two islands are the same but for a move.</summary>
    public bool AreSame(int a, int b)
    {
        ReadOnlySpan<int> ringsA = Rings(a), ringsB = Rings(b);
        GridPoint originA = Origin(a), originB = Origin(b);
        bool same = ringsA.Length == ringsB.Length;
        for (int i = 0; same && i < ringsA.Length; i++)
        {
            same = AreSame(rings[ringsA[i]], rings[ringsB[i]], originB.X - originA.X, originB.Y - originA.Y);
        }

        return same;
    }

    private static bool AreSame(ReadOnlySpan<GridPoint> a, ReadOnlySpan<GridPoint> b, int dx, int dy)
    {
        if (a.Length != b.Length)
        {
            return false;
        }

        for (int i = 0; i < a.Length; i++)
        {
            if (a[i].X + dx != b[i].X || a[i].Y + dy != b[i].Y)
            {
                return false;
            }
        }

        return true;
    }
}
