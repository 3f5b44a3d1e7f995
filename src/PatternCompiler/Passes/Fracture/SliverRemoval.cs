using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Fracture;

/// <summary>
/// Moves cuts so that low slivers disappear in their neighbours, without more pieces. Two situations allow it, each also
/// mirrored and upside down: a low step on one end of a piece (the step's side is prolonged through the piece, and both
/// are one there), and a low piece between one that goes on at its left below and one that goes on at its right above
/// (the lower one's right side is prolonged through both). A cut is the prolongation of an edge, so everything
/// stays exact.
/// </summary>
internal sealed class SliverRemoval
{
    private readonly double limit;
    private Trapezoid[] pieces;

    // The pieces as they were when the search for this kind of situation began, by bottom and by top.
    private Trapezoid[] ordered = [];
    private int[] byTop = [];
    private bool[] moved = [];

    private SliverRemoval(Trapezoid[] pieces, double limit)
    {
        this.pieces = pieces;
        this.limit = limit;
    }

    /// <summary>The same area in as many pieces, ordered by bottom, then from left to right.</summary>
    /// <param name="pieces">The pieces in this order.</param>
    /// <param name="limit">Thickness below which a piece is a sliver, in grid steps.</param>
    public static Trapezoid[] Run(Trapezoid[] pieces, double limit)
    {
        if (!Array.Exists(pieces, piece => (double)piece.YTop - piece.YBottom < limit))
        {
            return pieces;
        }

        var removal = new SliverRemoval([.. pieces], limit);
        for (int turn = 0; turn < 4; turn++)
        {
            removal.MoveCuts();
            removal.pieces = turn % 2 == 0 ? Array.ConvertAll(removal.pieces, Mirrored) : Array.ConvertAll(removal.pieces, UpsideDown);
        }

        Array.Sort(removal.pieces, TrapezoidOrder.CompareBottoms);
        return removal.pieces;
    }

    private static Trapezoid Mirrored(Trapezoid t) => new(t.YBottom, t.YTop, Mirrored(t.Right), Mirrored(t.Left));

    private static GridEdge Mirrored(GridEdge edge) => new(new(-edge.Lower.X, edge.Lower.Y), new(-edge.Upper.X, edge.Upper.Y));

    private static Trapezoid UpsideDown(Trapezoid t) => new(-t.YTop, -t.YBottom, UpsideDown(t.Left), UpsideDown(t.Right));

    private static GridEdge UpsideDown(GridEdge edge) => new(new(edge.Upper.X, -edge.Upper.Y), new(edge.Lower.X, -edge.Lower.Y));

    private void MoveCuts()
    {
        Array.Sort(pieces, TrapezoidOrder.CompareBottoms);
        ordered = [.. pieces];
        byTop = [.. Enumerable.Range(0, pieces.Length)];
        Array.Sort(byTop, (a, b) => TrapezoidOrder.CompareTops(ordered[a], ordered[b]));
        moved = new bool[pieces.Length];
        for (int i = 0; i < pieces.Length; i++)
        {
            if (!moved[i] && (double)pieces[i].YTop - pieces[i].YBottom < limit && !TryStep(i))
            {
                TryPassage(i);
            }
        }
    }

    /// <summary>A step on the right end of the piece below: its left side goes on down through that piece.</summary>
    private bool TryStep(int sliver)
    {
        Trapezoid step = pieces[sliver];
        int below = FindBelow(step.Left, step.YBottom);
        if (below < 0 || moved[below] || pieces[below].Right != step.Right)
        {
            return false;
        }

        Trapezoid piece = pieces[below];
        return TrapezoidOrder.Prolong(step.Left, piece.YBottom, step.YTop) is GridEdge cut
            && TrapezoidOrder.RunsInside(cut, piece)
            && TryReplace([sliver, below], [step with { YBottom = piece.YBottom, Left = cut }, piece with { Right = cut }]);
    }

    /// <summary>
    /// The piece below ends further left than the sliver and that above has the same right side: the right side of the
    /// one below goes on up through both.
    /// </summary>
    private void TryPassage(int sliver)
    {
        Trapezoid passage = pieces[sliver];
        int below = FindBelow(passage.Left, passage.YBottom), above = FindAbove(passage.Right, passage.YTop);
        if (below < 0 || above < 0 || moved[below] || moved[above]
            || pieces[below].Left != passage.Left || pieces[above].Right != passage.Right)
        {
            return;
        }

        Trapezoid lower = pieces[below], upper = pieces[above];
        if (TrapezoidOrder.Prolong(lower.Right, lower.YBottom, upper.YTop) is GridEdge cut
            && TrapezoidOrder.RunsInside(cut, passage)
            && TrapezoidOrder.RunsInside(cut, upper))
        {
            TryReplace(
                [sliver, below, above],
                [
                    upper with { YBottom = passage.YBottom, Left = cut },
                    lower with { YTop = passage.YTop, Right = cut },
                    upper with { Right = cut },
                ]);
        }
    }

    /// <summary>Puts new pieces in the place of old ones if fewer of them are slivers.</summary>
    private bool TryReplace(ReadOnlySpan<int> places, ReadOnlySpan<Trapezoid> replacements)
    {
        int before = 0, after = 0;
        for (int i = 0; i < places.Length; i++)
        {
            before += IsSliver(pieces[places[i]]) ? 1 : 0;
            after += IsSliver(replacements[i]) ? 1 : 0;
        }

        if (after >= before)
        {
            return false;
        }

        for (int i = 0; i < places.Length; i++)
        {
            pieces[places[i]] = replacements[i];
            moved[places[i]] = true;
        }

        return true;
    }

    private bool IsSliver(in Trapezoid piece) => TrapezoidMeasure.Thickness(piece) < limit;

    /// <summary>The last piece whose top is at a height and begins no further right than an edge; -1 if there is none.</summary>
    private int FindBelow(GridEdge edge, int y)
    {
        int low = 0, high = byTop.Length;
        while (low < high)
        {
            int middle = (low + high) >>> 1;
            ref readonly Trapezoid piece = ref ordered[byTop[middle]];
            bool isBefore = piece.YTop < y || (piece.YTop == y && TrapezoidOrder.CompareAt(piece.Left, edge, y) <= 0);
            (low, high) = isBefore ? (middle + 1, high) : (low, middle);
        }

        return low > 0 && ordered[byTop[low - 1]].YTop == y ? byTop[low - 1] : -1;
    }

    /// <summary>The last piece whose bottom is at a height and begins further left than an edge; -1 if there is none.</summary>
    private int FindAbove(GridEdge edge, int y)
    {
        int low = 0, high = ordered.Length;
        while (low < high)
        {
            int middle = (low + high) >>> 1;
            ref readonly Trapezoid piece = ref ordered[middle];
            bool isBefore = piece.YBottom < y || (piece.YBottom == y && TrapezoidOrder.CompareAt(piece.Left, edge, y) < 0);
            (low, high) = isBefore ? (middle + 1, high) : (low, middle);
        }

        return low > 0 && ordered[low - 1].YBottom == y ? low - 1 : -1;
    }
}
