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
        Array.Sort(byTop, (a, b) => CompareTops(pieces, a, b));
        int below = 0;
        int above = 0;
        while (below < byTop.Length && above < pieces.Length)
        {
            int top = pieces[byTop[below]].YTop, bottom = pieces[above].YBottom;
            if (top != bottom)
            {
                below += top < bottom ? 1 : 0;
                above += top < bottom ? 0 : 1;
                continue;
            }

            double topRight = TrapezoidMeasure.XAt(pieces[byTop[below]].Right, top);
            double bottomRight = TrapezoidMeasure.XAt(pieces[above].Right, top);
            double left = Math.Max(TrapezoidMeasure.XAt(pieces[byTop[below]].Left, top), TrapezoidMeasure.XAt(pieces[above].Left, top));
            if (left < Math.Min(topRight, bottomRight))
            {
                parts.Join(byTop[below], above);
            }

            if (topRight < bottomRight)
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

    private static int CompareTops(Trapezoid[] pieces, int a, int b)
    {
        int order = pieces[a].YTop.CompareTo(pieces[b].YTop);
        order = order != 0 ? order : TrapezoidMeasure.XAt(pieces[a].Left, pieces[a].YTop).CompareTo(TrapezoidMeasure.XAt(pieces[b].Left, pieces[b].YTop));
        return order != 0 ? order : a.CompareTo(b);
    }

    private void Join(int a, int b)
    {
        a = Of(a);
        b = Of(b);
        lead[Math.Max(a, b)] = Math.Min(a, b);
    }
}
