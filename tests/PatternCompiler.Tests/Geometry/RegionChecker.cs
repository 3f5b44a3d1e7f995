using PatternCompiler.Geometry;

namespace PatternCompiler.Tests.Geometry;

/// <summary>
/// Judges results by brute force, with no code shared with the sweep: every pair of edges, every point by the definition of
/// the winding number.
/// </summary>
internal static class RegionChecker
{
    /// <summary>Fails unless the rings are valid merged outlines.</summary>
    public static void AssertValidOutlines(ContourSet region)
    {
        var edges = Edges(region);
        for (int i = 0; i < edges.Count; i++)
        {
            for (int j = i + 1; j < edges.Count; j++)
            {
                if (CrossOrOverlap(edges[i], edges[j]))
                {
                    Assert.Fail($"Edges {edges[i]} and {edges[j]} cross or overlap.");
                }
            }
        }

        for (int r = 0; r < region.Count; r++)
        {
            var ring = region[r];
            Assert.True(ring.Length >= 3, "A ring has fewer than three points.");
            var seen = new HashSet<GridPoint>();
            for (int i = 0; i < ring.Length; i++)
            {
                GridPoint before = ring[(i + ring.Length - 1) % ring.Length], at = ring[i], after = ring[(i + 1) % ring.Length];
                Assert.True(seen.Add(at), $"Ring {r} visits {at} twice.");
                Assert.NotEqual(0, Turn(before, at, after));
                Assert.True(i == 0 || Before(ring[0], at), $"Ring {r} does not start at its lowest point.");
            }

            Assert.True(r == 0 || !Before(ring[0], region[r - 1][0]), "Rings are out of order.");
            AssertCoveredOnLeft(edges, ring);
        }
    }

    /// <summary>Winding number of all rings around a point given in half grid steps; the point must lie on no edge.</summary>
    public static int Winding(ContourSet rings, long twiceX, long twiceY)
    {
        int winding = 0;
        foreach ((GridPoint from, GridPoint to) in Edges(rings))
        {
            long y0 = 2L * from.Y, y1 = 2L * to.Y;
            if (y0 <= twiceY == y1 <= twiceY)
            {
                continue;
            }

            Int128 side = ((Int128)(2L * to.X - 2L * from.X) * (twiceY - y0)) - ((Int128)(twiceX - 2L * from.X) * (y1 - y0));
            if (y0 <= twiceY && side > 0)
            {
                winding++;
            }
            else if (y0 > twiceY && side < 0)
            {
                winding--;
            }
        }

        return winding;
    }

    /// <summary>All edges with length, as drawn.</summary>
    public static List<(GridPoint From, GridPoint To)> Edges(ContourSet rings)
    {
        var edges = new List<(GridPoint, GridPoint)>();
        for (int r = 0; r < rings.Count; r++)
        {
            var ring = rings[r];
            for (int i = 0; i < ring.Length; i++)
            {
                GridPoint to = ring[(i + 1) % ring.Length];
                if (to != ring[i])
                {
                    edges.Add((ring[i], to));
                }
            }
        }

        return edges;
    }

    /// <summary>Fails if two trapezoids share area or one is degenerate.</summary>
    public static void AssertDisjoint(ReadOnlySpan<Trapezoid> trapezoids)
    {
        for (int i = 0; i < trapezoids.Length; i++)
        {
            Trapezoid a = trapezoids[i];
            Assert.True(a.YBottom < a.YTop, $"{a} has no height.");
            foreach (GridEdge side in new[] { a.Left, a.Right })
            {
                Assert.True(side.Lower.Y <= a.YBottom && side.Upper.Y >= a.YTop, $"A side of {a} is too short.");
            }

            Assert.True(WidthSign(a.Left, a.Right, a.YBottom) >= 0 && WidthSign(a.Left, a.Right, a.YTop) >= 0, $"{a} is inside out.");
            for (int j = i + 1; j < trapezoids.Length; j++)
            {
                Trapezoid b = trapezoids[j];
                int bottom = Math.Max(a.YBottom, b.YBottom), top = Math.Min(a.YTop, b.YTop);
                if (bottom >= top)
                {
                    continue;
                }

                bool aFirst = WidthSign(a.Right, b.Left, bottom) >= 0 && WidthSign(a.Right, b.Left, top) >= 0;
                bool bFirst = WidthSign(b.Right, a.Left, bottom) >= 0 && WidthSign(b.Right, a.Left, top) >= 0;
                if (!aFirst && !bFirst)
                {
                    Assert.Fail($"{a} and {b} overlap.");
                }
            }
        }
    }

    private static int WidthSign(GridEdge left, GridEdge right, int y)
    {
        // x(y) = x0 + dx·(y − y0)/dy, compared after multiplying by both heights.
        Int128 dyl = left.Upper.Y - left.Lower.Y, dyr = right.Upper.Y - right.Lower.Y;
        Int128 xl = ((Int128)left.Lower.X * dyl) + ((Int128)(left.Upper.X - left.Lower.X) * (y - left.Lower.Y));
        Int128 xr = ((Int128)right.Lower.X * dyr) + ((Int128)(right.Upper.X - right.Lower.X) * (y - right.Lower.Y));
        return (xr * dyl).CompareTo(xl * dyr);
    }

    private static void AssertCoveredOnLeft(List<(GridPoint From, GridPoint To)> edges, ReadOnlySpan<GridPoint> ring)
    {
        // Outer rings counter-clockwise, holes clockwise: just inside the left of every edge the winding number is 1, on
        // the right it is 0. Judged halfway between two grid lines, where no vertex lies.
        for (int i = 0; i < ring.Length; i++)
        {
            GridPoint from = ring[i], to = ring[(i + 1) % ring.Length];
            if (from.Y == to.Y)
            {
                continue;
            }

            long twiceY = (2L * Math.Min(from.Y, to.Y)) + 1;

            // Winding numbers of the whole region left and right of the edge differ by one; count the edges left of it.
            int left = 0;
            foreach ((GridPoint a, GridPoint b) in edges)
            {
                if ((a, b) == (from, to) || 2L * a.Y < twiceY == 2L * b.Y < twiceY)
                {
                    continue;
                }

                if (CompareAt((a, b), (from, to), twiceY) < 0)
                {
                    left += a.Y > b.Y ? 1 : -1;
                }
            }

            Assert.Equal(from.Y < to.Y ? 1 : 0, left);
        }
    }

    private static int CompareAt((GridPoint From, GridPoint To) a, (GridPoint From, GridPoint To) b, long twiceY)
    {
        Int128 dya = (long)a.To.Y - a.From.Y, dyb = (long)b.To.Y - b.From.Y;
        Int128 xa = (2 * a.From.X * dya) + (((long)a.To.X - a.From.X) * (Int128)(twiceY - (2L * a.From.Y)));
        Int128 xb = (2 * b.From.X * dyb) + (((long)b.To.X - b.From.X) * (Int128)(twiceY - (2L * b.From.Y)));
        int order = (xa * dyb).CompareTo(xb * dya);
        return dya * dyb < 0 ? -order : order;
    }

    private static bool CrossOrOverlap((GridPoint From, GridPoint To) a, (GridPoint From, GridPoint To) b)
    {
        int a0 = Turn(a.From, a.To, b.From), a1 = Turn(a.From, a.To, b.To);
        int b0 = Turn(b.From, b.To, a.From), b1 = Turn(b.From, b.To, a.To);
        if (a0 == 0 && a1 == 0)
        {
            // On one line: overlap in more than a point?
            return a.From.X != a.To.X
                ? Overlap(a.From.X, a.To.X, b.From.X, b.To.X)
                : Overlap(a.From.Y, a.To.Y, b.From.Y, b.To.Y);
        }

        return a0 * a1 < 0 && b0 * b1 < 0;
    }

    private static bool Overlap(int a0, int a1, int b0, int b1) =>
        Math.Max(Math.Min(a0, a1), Math.Min(b0, b1)) < Math.Min(Math.Max(a0, a1), Math.Max(b0, b1));

    private static int Turn(GridPoint a, GridPoint b, GridPoint c) =>
        ((((Int128)b.X - a.X) * ((Int128)c.Y - a.Y)) - (((Int128)b.Y - a.Y) * ((Int128)c.X - a.X))).CompareTo(0);

    private static bool Before(GridPoint a, GridPoint b) => a.Y != b.Y ? a.Y < b.Y : a.X < b.X;
}
