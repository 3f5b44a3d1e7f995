namespace PatternCompiler.Geometry.Sweep;

/// <summary>An edge that passes a vertex's unit square, packed: edge index and whether it misses the vertex itself.</summary>
internal static class EdgePass
{
    public static int Pack(int edge, bool isBeside) => (edge << 1) | (isBeside ? 1 : 0);

    public static int Edge(int pass) => pass >> 1;

    public static bool IsBeside(int pass) => (pass & 1) != 0;
}
