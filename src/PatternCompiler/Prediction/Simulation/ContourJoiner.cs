using System.Runtime.InteropServices;
using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Joins the pieces of all tiles into closed outlines on a layout grid.</summary>
internal static class ContourJoiner
{
    /// <summary>Joins.</summary>
    /// <param name="tiles">The pieces of every tile; given up while they are joined.</param>
    public static ContourSet Join(ContourPieces?[] tiles)
    {
        var builder = new ContourSetBuilder(checked((int)tiles.Sum(tile => (long)tile!.PointCount - tile.Count)));
        var ring = new List<GridPoint>();
        var points = new List<GridPoint>();
        var open = new Dictionary<long, (long End, GridPoint[] Points)>();
        var order = new List<long>();
        for (int tile = 0; tile < tiles.Length; tile++)
        {
            ContourPieces pieces = tiles[tile]!;
            tiles[tile] = null;
            ReadOnlySpan<GridPoint> all = pieces.Points(points);
            for (int i = 0; i < pieces.Count; i++)
            {
                ContourPieces.Piece piece = pieces[i];
                ReadOnlySpan<GridPoint> part = all[piece.FirstPoint..piece.PointsEnd];
                if (piece.Start == piece.End)
                {
                    Add(ring, part);
                    EndRing(builder, ring);
                }
                else
                {
                    open.Add(piece.Start, (piece.End, part.ToArray()));
                    order.Add(piece.Start);
                }
            }
        }

        foreach (long start in order)
        {
            long at = start;
            while (open.Remove(at, out (long End, GridPoint[] Points) part))
            {
                Add(ring, part.Points);
                at = part.End;
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
