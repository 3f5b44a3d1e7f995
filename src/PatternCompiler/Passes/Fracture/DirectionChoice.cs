using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Fracture;

/// <summary>
/// Chooses for each connected part of an area between its horizontal and its vertical decomposition. A part is known in
/// both by its lowest, then leftmost corner; parts that have this corner in common are decided together.
/// </summary>
internal static class DirectionChoice
{
    /// <summary>Keeps of both decompositions the pieces of the parts for which they are the better one, slivers removed.</summary>
    /// <param name="horizontal">Pieces of an outline, with horizontal parallel sides.</param>
    /// <param name="vertical">Pieces of the same outline with vertical parallel sides, x and y exchanged.</param>
    /// <param name="sliver">Thickness below which a piece is a sliver, in grid steps.</param>
    public static (List<Trapezoid> Horizontal, List<Trapezoid> Vertical) Choose(Trapezoid[] horizontal, Trapezoid[] vertical, double sliver)
    {
        Dictionary<GridPoint, List<Trapezoid>> upright = PartsOf(vertical, transposed: true);
        var kept = (Horizontal: new List<Trapezoid>(), Vertical: new List<Trapezoid>());
        foreach ((GridPoint corner, List<Trapezoid> pieces) in PartsOf(horizontal, transposed: false))
        {
            // Only now: a moved cut leaves pieces side by side that hang together by more than their parallel sides.
            Trapezoid[] lying = SliverRemoval.Run([.. pieces], sliver), standing = SliverRemoval.Run([.. upright[corner]], sliver);
            if (Judge(lying, sliver).CompareTo(Judge(standing, sliver)) <= 0)
            {
                kept.Horizontal.AddRange(lying);
            }
            else
            {
                kept.Vertical.AddRange(standing);
            }
        }

        kept.Horizontal.Sort(TrapezoidOrder.CompareBottoms);
        kept.Vertical.Sort(TrapezoidOrder.CompareBottoms);
        return kept;
    }

    private static Dictionary<GridPoint, List<Trapezoid>> PartsOf(Trapezoid[] pieces, bool transposed)
    {
        ConnectedParts parts = ConnectedParts.Find(pieces);
        var lowest = new GridPoint[pieces.Length];
        Array.Fill(lowest, new GridPoint(int.MaxValue, int.MaxValue));
        for (int i = 0; i < pieces.Length; i++)
        {
            ref GridPoint low = ref lowest[parts.Of(i)];
            foreach (GridEdge side in (ReadOnlySpan<GridEdge>)[pieces[i].Left, pieces[i].Right])
            {
                // An end elsewhere belongs to another piece, too, or to none: a true side may be longer than the piece.
                low = side.Lower.Y == pieces[i].YBottom ? Lower(low, Drawn(side.Lower)) : low;
                low = side.Upper.Y == pieces[i].YTop ? Lower(low, Drawn(side.Upper)) : low;
            }
        }

        var byCorner = new Dictionary<GridPoint, List<Trapezoid>>();
        for (int i = 0; i < pieces.Length; i++)
        {
            GridPoint corner = lowest[parts.Of(i)];
            if (!byCorner.TryGetValue(corner, out List<Trapezoid>? part))
            {
                byCorner.Add(corner, part = []);
            }

            part.Add(pieces[i]);
        }

        return byCorner;

        GridPoint Drawn(GridPoint point) => transposed ? new GridPoint(point.Y, point.X) : point;
    }

    private static GridPoint Lower(GridPoint a, GridPoint b) => a.Y < b.Y || (a.Y == b.Y && a.X <= b.X) ? a : b;

    private static (int Slivers, int Pieces) Judge(Trapezoid[] pieces, double sliver) =>
        (pieces.Count(piece => TrapezoidMeasure.Thickness(piece) < sliver), pieces.Length);
}
