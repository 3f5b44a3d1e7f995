namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Cuts the plane into rows of grid lines and lists the edges that meet each row. Rows are thin where edges are dense, so
/// that a tile about as wide as its row is high meets a few dozen edges.
/// </summary>
internal sealed class RowPlan
{
    /// <summary>Edges that a tile should meet: fewer cost tiles, more cost comparisons.</summary>
    public const int EdgesPerTile = 40;

    private const int SamplesPerRow = 16;
    private const int MostRows = 4096;
    private const int EdgesPerPart = 20_000;
    private const int LongestLists = 1 << 25;
    private const int EntriesPerEdge = 4;

    private readonly int[] edgeStarts;
    private readonly int[] edgeIndices;

    private RowPlan(AxisPartition rows, int[] edgeStarts, int[] edgeIndices)
    {
        Rows = rows;
        this.edgeStarts = edgeStarts;
        this.edgeIndices = edgeIndices;
    }

    /// <summary>The rows.</summary>
    public AxisPartition Rows { get; }

    /// <summary>Edges that meet a row, in table order.</summary>
    public ReadOnlyMemory<int> Edges(int row) => edgeIndices.AsMemory(edgeStarts[row], edgeStarts[row + 1] - edgeStarts[row]);

    public static RowPlan Build(InputEdge[] edges, int threads, CancellationToken cancellation)
    {
        int minX = int.MaxValue, maxX = int.MinValue, minY = int.MaxValue, maxY = int.MinValue;
        double width = 0, height = 0;
        foreach (ref readonly InputEdge edge in edges.AsSpan())
        {
            minX = Math.Min(minX, edge.MinX);
            maxX = Math.Max(maxX, edge.MaxX);
            minY = Math.Min(minY, edge.LowerY);
            maxY = Math.Max(maxY, edge.UpperY);
            width += (double)edge.MaxX - edge.MinX;
            height += (double)edge.UpperY - edge.LowerY;
        }

        var rows = new AxisPartition();
        int wanted = WantedRows(edges.Length, (width / ((double)maxX - minX + 1)) + (height / ((double)maxY - minY + 1)));

        // Where long edges crowd, narrow rows would list the same edges over and over: then there are fewer rows.
        for (; ; wanted /= 2)
        {
            rows.Cut(minY, maxY, wanted == 1 ? [] : Sample(edges, wanted * SamplesPerRow, width + height), wanted);
            if (ListEdges(edges, rows, threads, cancellation) is RowPlan plan)
            {
                return plan;
            }
        }
    }

    /// <summary>
    /// Lists the edges of every row; null if the lists would be too long. Parts of the table are dealt with side by side, each
    /// filling its own stretch of every list.
    /// </summary>
    private static RowPlan? ListEdges(InputEdge[] edges, AxisPartition rows, int threads, CancellationToken cancellation)
    {
        int parts = Math.Clamp(edges.Length / EdgesPerPart, 1, threads);
        var places = new int[parts][];
        ParallelWork.For(parts, threads, part =>
        {
            var counts = new int[rows.Count];
            foreach (ref readonly InputEdge edge in PartOf(edges, part, parts))
            {
                int last = rows.Find(edge.UpperY);
                for (int row = rows.Find(edge.LowerY); row <= last; row++)
                {
                    counts[row]++;
                }
            }

            places[part] = counts;
        }, cancellation);

        var starts = new int[rows.Count + 1];
        long listed = 0;
        foreach (int[] counts in places)
        {
            foreach (int count in counts)
            {
                listed += count;
            }
        }

        if (rows.Count > 1 && listed > Math.Max(LongestLists, EntriesPerEdge * (long)edges.Length))
        {
            return null;
        }

        int total = 0;
        for (int row = 0; row < rows.Count; row++)
        {
            starts[row] = total;
            for (int part = 0; part < parts; part++)
            {
                int count = places[part][row];
                places[part][row] = total;
                total = checked(total + count);
            }
        }

        starts[rows.Count] = total;
        int[] indices = GC.AllocateUninitializedArray<int>(total);
        ParallelWork.For(parts, threads, part =>
        {
            int[] next = places[part];
            int index = FirstOf(edges, part, parts);
            foreach (ref readonly InputEdge edge in PartOf(edges, part, parts))
            {
                int last = rows.Find(edge.UpperY);
                for (int row = rows.Find(edge.LowerY); row <= last; row++)
                {
                    indices[next[row]++] = index;
                }

                index++;
            }
        }, cancellation);

        return new RowPlan(rows, starts, indices);
    }

    private static int FirstOf(InputEdge[] edges, int part, int parts) => (int)((long)edges.Length * part / parts);

    private static ReadOnlySpan<InputEdge> PartOf(InputEdge[] edges, int part, int parts) =>
        edges.AsSpan(FirstOf(edges, part, parts)..FirstOf(edges, part + 1, parts));

    /// <summary>
    /// With G rows of G tiles, n edges of total extent S (in widths and heights of the whole) meet about n + S·G tiles;
    /// solved for G so that a tile meets <see cref="EdgesPerTile"/>.
    /// </summary>
    private static int WantedRows(int edges, double extent)
    {
        double wanted = (extent + Math.Sqrt((extent * extent) + (4.0 * EdgesPerTile * edges))) / (2 * EdgesPerTile);
        return (int)Math.Clamp(wanted, 1, MostRows);
    }

    /// <summary>Heights of edge starts and of points spread evenly along all edges, half each.</summary>
    private static int[] Sample(ReadOnlySpan<InputEdge> edges, int wanted, double length)
    {
        int stride = Math.Max(1, edges.Length * 2 / wanted);
        double step = length * 2 / wanted;
        double due = step / 2;
        double walked = 0;
        var samples = new List<int>(wanted + 16);
        for (int i = 0; i < edges.Length; i++)
        {
            ref readonly InputEdge edge = ref edges[i];
            if (i % stride == 0)
            {
                samples.Add(edge.StartY);
            }

            double height = (double)edge.UpperY - edge.LowerY;
            double extent = height + edge.MaxX - edge.MinX;
            for (; due < walked + extent; due += step)
            {
                samples.Add(edge.LowerY + (int)(height * ((due - walked) / extent)));
            }

            walked += extent;
        }

        return [.. samples];
    }
}
