namespace PatternCompiler.Geometry.Sweep;

/// <summary>An edge that passes a vertex's unit square, packed: the edge's position in its row and whether it misses the vertex itself.</summary>
internal static class EdgePass
{
    public static int Pack(int position, bool isBeside) => (position << 1) | (isBeside ? 1 : 0);

    public static int Position(int pass) => pass >> 1;

    public static bool IsBeside(int pass) => (pass & 1) != 0;
}
