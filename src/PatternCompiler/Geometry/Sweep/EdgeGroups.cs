namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Groups of edges, joined two at a time from several threads at once. A group is known by its smallest edge, so that the
/// outcome does not depend on the order of joining (a union-find forest in which a root is only ever hung below a smaller
/// one, by compare and exchange; Anderson and Woll, Wait-free parallel algorithms for the union-find problem, 1991).
/// </summary>
internal sealed class EdgeGroups
{
    private readonly int[] parents;

    public EdgeGroups(int edges)
    {
        parents = GC.AllocateUninitializedArray<int>(edges);
        for (int e = 0; e < edges; e++)
        {
            parents[e] = e;
        }
    }

    /// <summary>The smallest edge of the group.</summary>
    public int Find(int edge)
    {
        while (true)
        {
            int parent = Volatile.Read(ref parents[edge]);
            if (parent == edge)
            {
                return edge;
            }

            // Whatever other threads do meanwhile, an edge that has a parent keeps one, and all above it are in its group.
            int above = Volatile.Read(ref parents[parent]);
            if (above != parent)
            {
                Volatile.Write(ref parents[edge], above);
            }

            edge = above;
        }
    }

    /// <summary>Joins the groups of two edges.</summary>
    public void Join(int a, int b)
    {
        while (true)
        {
            a = Find(a);
            b = Find(b);
            if (a == b)
            {
                return;
            }

            (int smaller, int larger) = (Math.Min(a, b), Math.Max(a, b));
            if (Interlocked.CompareExchange(ref parents[larger], smaller, larger) == larger)
            {
                return;
            }
        }
    }
}
