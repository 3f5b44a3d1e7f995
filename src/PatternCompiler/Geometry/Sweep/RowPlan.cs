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
    public ReadOnlySpan<int> Edges(int row) => edgeIndices.AsSpan(edgeStarts[row], edgeStarts[row + 1] - edgeStarts[row]);

    public static RowPlan Build(ReadOnlySpan<InputEdge> edges)
    {
        int minX = int.MaxValue, maxX = int.MinValue, minY = int.MaxValue, maxY = int.MinValue;
        double width = 0, height = 0;
        foreach (ref readonly InputEdge edge in edges)
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
        rows.Cut(minY, maxY, wanted == 1 ? [] : Sample(edges, wanted * SamplesPerRow, width + height), wanted);

        var starts = new int[rows.Count + 1];
        foreach (ref readonly InputEdge edge in edges)
        {
            int last = rows.Find(edge.UpperY);
            for (int row = rows.Find(edge.LowerY); row <= last; row++)
            {
                starts[row + 1]++;
            }
        }

        for (int row = 0; row < rows.Count; row++)
        {
            starts[row + 1] += starts[row];
        }

        var indices = new int[starts[rows.Count]];
        var fill = starts.AsSpan(0, rows.Count).ToArray();
        for (int i = 0; i < edges.Length; i++)
        {
            int last = rows.Find(edges[i].UpperY);
            for (int row = rows.Find(edges[i].LowerY); row <= last; row++)
            {
                indices[fill[row]++] = i;
            }
        }

        return new RowPlan(rows, starts, indices);
    }

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
