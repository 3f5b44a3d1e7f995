using System.Runtime.InteropServices;
using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Joins the pieces of all tiles into closed outlines on a layout grid.</summary>
internal static class ContourJoiner
{
    public static ContourSet Join(ContourPieces[] tiles)
    {
        var builder = new ContourSetBuilder();
        var ring = new List<GridPoint>();
        var open = new Dictionary<long, (int Tile, int Piece)>();
        var order = new List<long>();
        for (int tile = 0; tile < tiles.Length; tile++)
        {
            for (int piece = 0; piece < tiles[tile].Count; piece++)
            {
                long start = tiles[tile].Start(piece);
                if (start == tiles[tile].End(piece))
                {
                    Add(ring, tiles[tile].Points(piece));
                    EndRing(builder, ring);
                }
                else
                {
                    open.Add(start, (tile, piece));
                    order.Add(start);
                }
            }
        }

        foreach (long start in order)
        {
            long at = start;
            while (open.Remove(at, out (int Tile, int Piece) part))
            {
                Add(ring, tiles[part.Tile].Points(part.Piece));
                at = tiles[part.Tile].End(part.Piece);
            }

            EndRing(builder, ring);
        }

        return builder.ToContourSet();
    }

    private static void Add(List<GridPoint> ring, ReadOnlySpan<GridPoint> piece)
    {
        // Each piece's last point is the next one's first.
        foreach (GridPoint point in piece[..^1])
        {
            if (ring.Count == 0 || ring[^1] != point)
            {
                ring.Add(point);
            }
        }
    }

    private static void EndRing(ContourSetBuilder builder, List<GridPoint> ring)
    {
        if (ring.Count > 1 && ring[^1] == ring[0])
        {
            ring.RemoveAt(ring.Count - 1);
        }

        if (ring.Count >= 3)
        {
            builder.AddRing(CollectionsMarshal.AsSpan(ring));
        }

        ring.Clear();
    }
}
