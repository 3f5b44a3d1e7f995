using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Fracture;

/// <summary>Which trapezoids of a decomposition hang together: those that share a stretch of a horizontal side.</summary>
internal sealed class ConnectedParts
{
    private readonly int[] lead;

    private ConnectedParts(int count)
    {
        lead = [.. Enumerable.Range(0, count)];
    }

    /// <summary>The part of a trapezoid: the index of one of its trapezoids, the same for all of them.</summary>
    public int Of(int trapezoid)
    {
        while (lead[trapezoid] != trapezoid)
        {
            lead[trapezoid] = lead[lead[trapezoid]];
            trapezoid = lead[trapezoid];
        }

        return trapezoid;
    }

    /// <summary>Finds the parts of a decomposition, which is ordered by bottom, then from left to right.</summary>
    public static ConnectedParts Find(Trapezoid[] pieces)
    {
        var parts = new ConnectedParts(pieces.Length);
        int[] byTop = [.. Enumerable.Range(0, pieces.Length)];
        Array.Sort(byTop, (a, b) => TrapezoidOrder.CompareTops(pieces[a], pieces[b]));
        int below = 0;
        int above = 0;
        while (below < byTop.Length && above < pieces.Length)
        {
            Trapezoid lower = pieces[byTop[below]], upper = pieces[above];
            int y = lower.YTop;
            if (y != upper.YBottom)
            {
                below += y < upper.YBottom ? 1 : 0;
                above += y < upper.YBottom ? 0 : 1;
                continue;
            }

            // A stretch lies between each left and each right side, those of one piece included: its side may be a point.
            if (IsBefore(lower.Left, lower.Right, y) && IsBefore(lower.Left, upper.Right, y)
                && IsBefore(upper.Left, lower.Right, y) && IsBefore(upper.Left, upper.Right, y))
            {
                parts.Join(byTop[below], above);
            }

            if (IsBefore(lower.Right, upper.Right, y))
            {
                below++;
            }
            else
            {
                above++;
            }
        }

        return parts;
    }

    private static bool IsBefore(GridEdge a, GridEdge b, int y) => TrapezoidOrder.CompareAt(a, b, y) < 0;

    private void Join(int a, int b)
    {
        a = Of(a);
        b = Of(b);
        lead[Math.Max(a, b)] = Math.Min(a, b);
    }
}
