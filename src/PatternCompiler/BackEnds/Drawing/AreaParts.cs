using PatternCompiler.Geometry;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>
/// Takes a merged area (rings that do not cross or overlap, outer ones counter-clockwise, holes clockwise; they may touch in
/// corners) apart into its parts, each an outer ring with its own holes.
/// </summary>
/// <remarks>
/// Just above the lowest corner of a hole, the next edge to the left bounds the part that the hole lies in: it belongs to the
/// outer ring, or to another hole of the same part. Places are compared exactly.
/// </remarks>
internal sealed class AreaParts
{
    private readonly ContourSet merged;
    private readonly List<Edge> edges = [];
    private readonly List<(Edge Left, int Ring)> holes = [];
    private readonly int[] parents;

    private AreaParts(ContourSet merged)
    {
        this.merged = merged;
        parents = new int[merged.Count];
        for (int ring = 0; ring < merged.Count; ring++)
        {
            parents[ring] = ring;
            if (ExactArea.Twice(merged[ring]) < 0)
            {
                parents[ring] = -1;
            }
        }
    }

    /// <summary>The parts, in the order of their outer rings.</summary>
    public static List<ContourSet> Split(ContourSet merged)
    {
        var parts = new AreaParts(merged);
        if (Array.IndexOf(parts.parents, -1) >= 0)
        {
            parts.CollectEdges();
            parts.FindParents();
        }

        return parts.Collect();
    }

    private void CollectEdges()
    {
        for (int ring = 0; ring < merged.Count; ring++)
        {
            ReadOnlySpan<GridPoint> points = merged[ring];
            Edge? lowest = null;
            for (int i = 0; i < points.Length; i++)
            {
                GridPoint a = points[i];
                GridPoint b = points[(i + 1) % points.Length];
                if (a.Y == b.Y)
                {
                    continue;
                }

                var edge = a.Y < b.Y ? new Edge(a, b, ring) : new Edge(b, a, ring);
                edges.Add(edge);
                if (lowest is not { } known || edge.Lower.Y < known.Lower.Y || (edge.Lower.Y == known.Lower.Y && edge.CompareAt(known, edge.Lower.Y) < 0))
                {
                    lowest = edge;
                }
            }

            if (parents[ring] < 0 && lowest is { } left)
            {
                holes.Add((left, ring));
            }
        }
    }

    private void FindParents()
    {
        edges.Sort((a, b) => a.Lower.Y.CompareTo(b.Lower.Y));
        holes.Sort((a, b) => a.Left.Lower.Y != b.Left.Lower.Y ? a.Left.Lower.Y.CompareTo(b.Left.Lower.Y) : a.Ring.CompareTo(b.Ring));
        var active = new List<Edge>();
        int next = 0;
        var neighbours = new Dictionary<int, int>();
        foreach ((Edge left, int ring) in holes)
        {
            int y = left.Lower.Y;
            for (; next < edges.Count && edges[next].Lower.Y <= y; next++)
            {
                active.Add(edges[next]);
            }

            active.RemoveAll(e => e.Upper.Y <= y);
            Edge? best = null;
            foreach (Edge edge in active)
            {
                if (edge.Ring != ring && edge.CompareAt(left, y) < 0 && (best is not { } known || known.CompareAt(edge, y) < 0))
                {
                    best = edge;
                }
            }

            if (best is { } neighbour)
            {
                neighbours.Add(ring, neighbour.Ring);
            }
        }

        foreach ((_, int ring) in holes)
        {
            int outer = ring;
            while (parents[outer] != outer && neighbours.TryGetValue(outer, out int neighbour))
            {
                outer = neighbour;
            }

            parents[ring] = outer;
        }
    }

    private List<ContourSet> Collect()
    {
        var builders = new SortedDictionary<int, ContourSetBuilder>();
        for (int pass = 0; pass < 2; pass++)
        {
            for (int ring = 0; ring < merged.Count; ring++)
            {
                if ((parents[ring] == ring) != (pass == 0))
                {
                    continue;
                }

                if (!builders.TryGetValue(parents[ring], out ContourSetBuilder? builder))
                {
                    builders.Add(parents[ring], builder = new ContourSetBuilder());
                }

                builder.AddRing(merged[ring]);
            }
        }

        return [.. builders.Values.Select(b => b.ToContourSet())];
    }

    private readonly record struct Edge(GridPoint Lower, GridPoint Upper, int Ring)
    {
        private long Height => (long)Upper.Y - Lower.Y;

        private long Run => (long)Upper.X - Lower.X;

        // Order from left to right just above a height that both edges reach.
        public int CompareAt(in Edge other, int y)
        {
            Int128 a = Place(y) * other.Height;
            Int128 b = other.Place(y) * Height;
            return a != b ? a.CompareTo(b) : ((Int128)Run * other.Height).CompareTo((Int128)other.Run * Height);
        }

        // x at a height, times the edge's height.
        private Int128 Place(int y) => ((Int128)Lower.X * Height) + ((Int128)Run * ((long)y - Lower.Y));
    }
}
