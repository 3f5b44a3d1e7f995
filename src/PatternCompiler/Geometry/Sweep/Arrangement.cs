using PatternCompiler.Limits;

namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// All edges after rounding, as links between vertices that meet nowhere else. Vertices are numbered by y, then x. Links
/// along a grid line are left out: the sweep sees them as a change of winding between the region below the line and the
/// region above it.
/// </summary>
internal sealed class Arrangement
{
    private readonly ulong[] vertices;

    public Arrangement(ulong[] vertices, int[] linkStarts, int[] linkEdges, int[] linkUppers, InputEdge[] edges)
    {
        this.vertices = vertices;
        LinkStarts = linkStarts;
        LinkEdges = linkEdges;
        LinkUppers = linkUppers;
        Edges = edges;
    }

    /// <summary>Number of vertices.</summary>
    public int VertexCount => vertices.Length;

    /// <summary>Start of each vertex's upward links in <see cref="LinkEdges"/> and <see cref="LinkUppers"/>; one more entry at the end.</summary>
    public int[] LinkStarts { get; }

    /// <summary>Which edge a link is part of.</summary>
    public int[] LinkEdges { get; }

    /// <summary>The vertex at a link's upper end, or -1 where an edge has no upward link at this vertex.</summary>
    public int[] LinkUppers { get; }

    /// <summary>The input.</summary>
    public InputEdge[] Edges { get; }

    public int X(int vertex) => PixelKey.X(vertices[vertex]);

    public int Y(int vertex) => PixelKey.Y(vertices[vertex]);

    /// <summary>Rounds all edges of the operands to the grid.</summary>
    /// <exception cref="Diagnostics.CompileException">The edges cross more often than the limits allow.</exception>
    public static Arrangement Build(
        ContourSet first, ContourSet? second, int threads, CancellationToken cancellation, WorkLimits? limits = null)
    {
        limits ??= WorkLimits.Usual;
        if (CrowdedBand.Of(first, second) is InputEdge[] crowded)
        {
            NodeRows(crowded, threads, limits, cancellation);
        }

        InputEdge[] edges = EdgeTable.Build(first, second);
        if (edges.Length == 0)
        {
            return new Arrangement([], [0], [], [], edges);
        }

        NodedRow[] rows = NodeRows(edges, threads, limits, cancellation);
        RoundingScope.DropNeedless(edges.Length, rows, threads, cancellation);
        return RowLinker.Link(edges, rows, threads, cancellation);
    }

    private static NodedRow[] NodeRows(InputEdge[] edges, int threads, WorkLimits limits, CancellationToken cancellation)
    {
        WorkMeter meter = limits.Meter(WorkKind.Crossings);
        RowPlan plan = RowPlan.Build(edges, threads, cancellation);
        var rows = new NodedRow[plan.Rows.Count];
        if (threads == 1 || rows.Length == 1)
        {
            var noder = new RowNoder(edges, meter);
            for (int row = 0; row < rows.Length; row++)
            {
                cancellation.ThrowIfCancellationRequested();
                rows[row] = noder.Node(plan.Rows.First(row), plan.Rows.Last(row), plan.Edges(row));
            }
        }
        else
        {
            Parallel.For(
                0,
                rows.Length,
                new ParallelOptions { MaxDegreeOfParallelism = threads, CancellationToken = cancellation },
                () => new RowNoder(edges, meter),
                (row, _, noder) =>
                {
                    rows[row] = noder.Node(plan.Rows.First(row), plan.Rows.Last(row), plan.Edges(row));
                    return noder;
                },
                _ => { });
        }

        meter.Require();
        return rows;
    }
}
