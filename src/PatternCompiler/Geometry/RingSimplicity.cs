using System.Runtime.InteropServices;

namespace PatternCompiler.Geometry;

/// <summary>Tells rings that mean the same area by the even-odd and the nonzero rule from those that may not.</summary>
internal static class RingSimplicity
{
    /// <summary>
    /// True if no two sides of a ring meet but in the corner that they share: then the even-odd and the nonzero rule cover the same points. A
    /// ring that touches itself is not simple, even if no fill rule makes a difference.
    /// </summary>
    public static bool IsSimple(ReadOnlySpan<GridPoint> ring)
    {
        if (ring.Length < 3)
        {
            return false;
        }

        // Sides in the order of their lower ends, each compared with those that still reach its height.
        var sides = new List<Side>(ring.Length);
        for (int i = 0; i < ring.Length; i++)
        {
            GridPoint from = ring[i];
            GridPoint to = ring[(i + 1) % ring.Length];
            sides.Add(from.Y <= to.Y ? new(from, to, i) : new(to, from, i));
        }

        sides.Sort((a, b) => a.Lower.Y != b.Lower.Y ? a.Lower.Y.CompareTo(b.Lower.Y) : a.Index.CompareTo(b.Index));
        var open = new List<Side>();
        foreach (Side side in sides)
        {
            open.RemoveAll(other => other.Upper.Y < side.Lower.Y);
            foreach (ref readonly Side other in CollectionsMarshal.AsSpan(open))
            {
                if (side.XLeft <= other.XRight && other.XLeft <= side.XRight && !MeetAsNeighbours(side, other, ring) && Meet(side, other))
                {
                    return false;
                }
            }

            open.Add(side);
        }

        return true;
    }

    // Neighbours share a corner; only one that runs back over the other shares more.
    private static bool MeetAsNeighbours(in Side a, in Side b, ReadOnlySpan<GridPoint> ring)
    {
        int first = (a.Index + 1) % ring.Length == b.Index ? a.Index : (b.Index + 1) % ring.Length == a.Index ? b.Index : -1;
        if (first < 0)
        {
            return false;
        }

        GridPoint before = ring[first];
        GridPoint corner = ring[(first + 1) % ring.Length];
        GridPoint after = ring[(first + 2) % ring.Length];
        bool runsBack = Turn(before, corner, after) == 0
            && ((Int128)((long)before.X - corner.X) * ((long)after.X - corner.X)) + ((Int128)((long)before.Y - corner.Y) * ((long)after.Y - corner.Y)) >= 0;
        return !runsBack;
    }

    private static bool Meet(in Side a, in Side b)
    {
        int lower = Turn(a.Lower, a.Upper, b.Lower);
        int upper = Turn(a.Lower, a.Upper, b.Upper);
        if (lower == 0 && upper == 0)
        {
            // On one line: the boxes, which overlap in x already, decide.
            return a.Lower.Y <= b.Upper.Y && b.Lower.Y <= a.Upper.Y;
        }

        return lower * upper <= 0 && Turn(b.Lower, b.Upper, a.Lower) * Turn(b.Lower, b.Upper, a.Upper) <= 0;
    }

    // Above zero for a turn to the left. Differences fit 31 bits and a sign, so that the products need no more than 64 bits.
    private static int Turn(GridPoint a, GridPoint b, GridPoint point) => Math.Sign(
        (((long)b.X - a.X) * ((long)point.Y - a.Y)) - (((long)b.Y - a.Y) * ((long)point.X - a.X)));

    private readonly record struct Side(GridPoint Lower, GridPoint Upper, int Index)
    {
        public int XLeft => Math.Min(Lower.X, Upper.X);

        public int XRight => Math.Max(Lower.X, Upper.X);
    }
}
