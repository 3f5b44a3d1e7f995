using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Fracture;

/// <summary>Where edges are at a height and how pieces follow each other, in exact terms.</summary>
internal static class TrapezoidOrder
{
    /// <summary>Compares the places of two edges at a height that both span.</summary>
    public static int CompareAt(GridEdge a, GridEdge b, int y)
    {
        Int128 heightA = (long)a.Upper.Y - a.Lower.Y, heightB = (long)b.Upper.Y - b.Lower.Y;
        Int128 placeA = (a.Lower.X * heightA) + (((long)a.Upper.X - a.Lower.X) * ((long)y - a.Lower.Y));
        Int128 placeB = (b.Lower.X * heightB) + (((long)b.Upper.X - b.Lower.X) * ((long)y - b.Lower.Y));
        return (placeA * heightB).CompareTo(placeB * heightA);
    }

    /// <summary>Whether an edge runs between the sides of a piece, touching neither, all the way.</summary>
    public static bool RunsInside(GridEdge edge, in Trapezoid piece) =>
        CompareAt(piece.Left, edge, piece.YBottom) < 0 && CompareAt(edge, piece.Right, piece.YBottom) < 0
        && CompareAt(piece.Left, edge, piece.YTop) < 0 && CompareAt(edge, piece.Right, piece.YTop) < 0;

    /// <summary>By bottom, then from left to right.</summary>
    public static int CompareBottoms(Trapezoid a, Trapezoid b)
    {
        int order = a.YBottom.CompareTo(b.YBottom);
        order = order != 0 ? order : CompareAt(a.Left, b.Left, a.YBottom);
        return order != 0 ? order : CompareAt(a.Left, b.Left, Math.Min(a.YTop, b.YTop));
    }

    /// <summary>By top, then from left to right.</summary>
    public static int CompareTops(Trapezoid a, Trapezoid b)
    {
        int order = a.YTop.CompareTo(b.YTop);
        order = order != 0 ? order : CompareAt(a.Left, b.Left, a.YTop);
        return order != 0 ? order : CompareAt(a.Left, b.Left, Math.Max(a.YBottom, b.YBottom));
    }

    /// <summary>The same line with ends on the grid that span two heights, or null if they would lie beyond the grid.</summary>
    public static GridEdge? Prolong(GridEdge edge, int bottom, int top)
    {
        if (edge.IsVertical)
        {
            return new(new(edge.Lower.X, Math.Min(edge.Lower.Y, bottom)), new(edge.Lower.X, Math.Max(edge.Upper.Y, top)));
        }

        long dx = (long)edge.Upper.X - edge.Lower.X, dy = (long)edge.Upper.Y - edge.Lower.Y;
        long divisor = (long)System.Numerics.BigInteger.GreatestCommonDivisor(dx, dy);
        (dx, dy) = (dx / divisor, dy / divisor);
        long down = Math.Max(0, (edge.Lower.Y - (long)bottom + dy - 1) / dy), up = Math.Max(0, (top - (long)edge.Upper.Y + dy - 1) / dy);
        return Step(edge.Lower, -down) is GridPoint lower && Step(edge.Upper, up) is GridPoint upper ? new GridEdge(lower, upper) : null;

        GridPoint? Step(GridPoint from, long steps)
        {
            Int128 x = from.X + ((Int128)steps * dx), y = from.Y + ((Int128)steps * dy);
            return Int128.Abs(x) <= GridPoint.Limit && Int128.Abs(y) <= GridPoint.Limit ? new GridPoint((int)x, (int)y) : null;
        }
    }
}
