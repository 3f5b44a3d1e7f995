using System.Numerics;

namespace PatternCompiler.Geometry;

/// <summary>Areas without rounding, doubled so that those of rings are whole numbers of squared grid steps.</summary>
internal static class ExactArea
{
    /// <summary>
    /// Twice the signed area of all rings together (shoelace formula): each point counts as often as the rings wind around
    /// it. For merged outlines this is twice the covered area.
    /// </summary>
    public static Int128 Twice(ContourSet rings)
    {
        Int128 sum = 0;
        for (int i = 0; i < rings.Count; i++)
        {
            sum += Twice(rings[i]);
        }

        return sum;
    }

    /// <summary>Twice the signed area of one ring, positive if it runs counter-clockwise.</summary>
    public static Int128 Twice(ReadOnlySpan<GridPoint> ring)
    {
        if (ring.IsEmpty)
        {
            return 0;
        }

        Int128 sum = 0;
        GridPoint origin = ring[0];
        GridPoint from = ring[^1];
        foreach (GridPoint to in ring)
        {
            sum += (((long)from.X - origin.X) * ((long)to.Y - origin.Y)) - (((long)from.Y - origin.Y) * ((long)to.X - origin.X));
            from = to;
        }

        return sum;
    }

    /// <summary>Twice the area of all trapezoids together.</summary>
    public static Fraction Twice(ReadOnlySpan<Trapezoid> trapezoids)
    {
        // Between two heights an edge encloses with the y axis h·(2·x0 + dx·(y1 + y2 − 2·y0)/dy) / 2. The quotients are
        // added up by denominator, where those of one edge mostly complete each other.
        Int128 whole = 0;
        var byHeight = new SortedDictionary<int, Int128>();
        foreach (ref readonly Trapezoid t in trapezoids)
        {
            Add(t.Right, t.YBottom, t.YTop, 1);
            Add(t.Left, t.YBottom, t.YTop, -1);
        }

        Fraction sum = whole;
        foreach ((int height, Int128 numerator) in byHeight)
        {
            if (numerator != 0)
            {
                sum += new Fraction((BigInteger)numerator, height);
            }
        }

        return sum;

        void Add(GridEdge edge, int bottom, int top, int sign)
        {
            long height = (long)top - bottom;
            whole += (Int128)(sign * height) * (2L * edge.Lower.X);
            if (!edge.IsVertical)
            {
                int dy = edge.Upper.Y - edge.Lower.Y;
                long heights = (long)bottom + top - (2L * edge.Lower.Y);
                Int128 numerator = (Int128)(sign * height) * ((Int128)((long)edge.Upper.X - edge.Lower.X) * heights);
                byHeight[dy] = byHeight.GetValueOrDefault(dy) + numerator;
            }
        }
    }
}
