namespace PatternCompiler.Geometry.Sweep;

/// <summary>Cuts a row of the grid into tiles, about equally full. Edges are told by their position in the row's list. One instance serves many rows in turn.</summary>
internal sealed class RowTiles(InputEdge[] edges)
{
    private const int MostTilesPerEdge = 6;

    private readonly AxisPartition tiles = new();
    private int[] low = [];
    private int[] high = [];
    private int[] samples = [];
    private int[] starts = [];
    private int[] edgesOfTiles = [];

    public int Count => tiles.Count;

    /// <summary>First grid column that each edge may touch within the row.</summary>
    public ReadOnlySpan<int> Low => low;

    /// <summary>Last grid column that each edge may touch within the row.</summary>
    public ReadOnlySpan<int> High => high;

    /// <summary>First grid column of a tile.</summary>
    public int First(int tile) => tiles.First(tile);

    /// <summary>Last grid column of a tile.</summary>
    public int Last(int tile) => tiles.Last(tile);

    /// <summary>The edges that may meet a tile.</summary>
    public ReadOnlySpan<int> Edges(int tile) => edgesOfTiles.AsSpan(starts[tile], starts[tile + 1] - starts[tile]);

    /// <summary>Cuts a row of grid lines and lists the edges that may meet each tile.</summary>
    public void Cut(int firstY, int lastY, ReadOnlySpan<int> rowEdges)
    {
        int count = rowEdges.Length;
        Resize(ref low, count);
        Resize(ref high, count);
        Resize(ref samples, count);
        int min = int.MaxValue, max = int.MinValue;
        double widths = 0;
        for (int i = 0; i < count; i++)
        {
            ref readonly InputEdge edge = ref edges[rowEdges[i]];
            ClipToRow(edge, firstY, lastY, out int from, out int to);
            low[i] = from;
            high[i] = to;
            samples[i] = (int)(((long)from + to) >> 1);
            min = Math.Min(min, from);
            max = Math.Max(max, to);
            widths += (double)to - from;
        }

        double spread = widths / ((double)max - min + 1);
        int wanted = (int)Math.Min(count, count / Math.Max(RowPlan.EdgesPerTile - spread, RowPlan.EdgesPerTile / 4.0)) + 1;
        int sampleCount = count;
        int stride = Math.Max(1, count / (wanted * 8));
        if (stride > 1)
        {
            sampleCount = 0;
            for (int i = 0; i < count; i += stride)
            {
                samples[sampleCount++] = samples[i];
            }
        }

        // Where edges bundle, narrower tiles would meet the same edges over and over: then fewer of them do.
        do
        {
            tiles.Cut(min, max, samples.AsSpan(0, sampleCount), wanted);
            wanted = tiles.Count / 2;
        }
        while (CountEdges(count) > MostTilesPerEdge * (long)count && wanted > 0);

        for (int tile = 0; tile < tiles.Count; tile++)
        {
            starts[tile + 2] += starts[tile + 1];
        }

        Resize(ref edgesOfTiles, starts[tiles.Count + 1]);
        for (int i = 0; i < count; i++)
        {
            int last = tiles.Find(high[i]);
            for (int tile = tiles.Find(low[i]); tile <= last; tile++)
            {
                edgesOfTiles[starts[tile + 1]++] = i;
            }
        }
    }

    /// <summary>Counts the edges of each tile, two places ahead in <see cref="starts"/>, and returns their sum.</summary>
    private long CountEdges(int count)
    {
        Resize(ref starts, tiles.Count + 2);
        starts.AsSpan(0, tiles.Count + 2).Clear();
        long sum = 0;
        for (int i = 0; i < count; i++)
        {
            int first = tiles.Find(low[i]), last = tiles.Find(high[i]);
            sum += last - first + 1;
            for (int tile = first; tile <= last; tile++)
            {
                starts[tile + 2]++;
            }
        }

        return sum;
    }

    /// <summary>The grid columns that an edge may touch within the row, a little too wide rather than too narrow.</summary>
    private static void ClipToRow(in InputEdge edge, int firstY, int lastY, out int low, out int high)
    {
        low = edge.MinX;
        high = edge.MaxX;
        if ((edge.LowerY >= firstY && edge.UpperY <= lastY) || low == high)
        {
            return;
        }

        double slope = ((double)edge.UpperX - edge.LowerX) / ((double)edge.UpperY - edge.LowerY);
        double atBottom = edge.LowerX + (slope * Math.Max(0, firstY - 0.5 - edge.LowerY));
        double atTop = edge.UpperX - (slope * Math.Max(0, edge.UpperY - lastY - 0.5));
        low = Math.Max(low, (int)Math.Floor(Math.Min(atBottom, atTop)) - 1);
        high = Math.Min(high, (int)Math.Ceiling(Math.Max(atBottom, atTop)) + 1);
    }

    /// <summary>Makes an array at least so long; what it held is gone.</summary>
    public static void Resize<T>(ref T[] array, int length)
    {
        if (array.Length < length)
        {
            array = new T[Math.Max(length, array.Length * 2)];
        }
    }
}
