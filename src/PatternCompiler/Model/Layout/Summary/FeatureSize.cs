using PatternCompiler.Geometry;

namespace PatternCompiler.Model.Layout.Summary;

/// <summary>
/// The narrowest place of a shape: the shortest distance through its inside from one part of its border to another. For a
/// polygon it is attained between a corner and the foot of its perpendicular on another edge, or between two corners that
/// point inward.
/// </summary>
internal static class FeatureSize
{
    private const int MostCorners = 20_000;
    private const int MostOnStack = 16;

    // Up to this many edges it is quicker to look at all of them than to sort them.
    private const int MostUnsorted = 12;

    /// <summary>Size in grid steps; null for lines, dots, shapes without area, and polygons of more than 20,000 corners.</summary>
    public static double? Of(Shape shape) => shape switch
    {
        RectangleShape r => Math.Min((double)r.XRight - r.XLeft, (double)r.YTop - r.YBottom),
        CircleShape circle => 2.0 * circle.Radius,
        RingShape ring => (double)ring.OuterRadius - ring.InnerRadius,
        PathShape path => path.Width,
        PolygonShape polygon when polygon.Contours.PointCount is >= 3 and <= MostCorners => OfPolygon(polygon),
        _ => null,
    };

    private static double? OfPolygon(PolygonShape polygon)
    {
        int count = polygon.Contours.PointCount;
        Span<Edge> edges = count <= MostOnStack ? stackalloc Edge[MostOnStack] : new Edge[count];
        Span<double> reach = count <= MostOnStack ? stackalloc double[MostOnStack] : new double[count];
        edges = edges[..count];
        FindEdges(polygon.Contours, edges);
        bool isSorted = count > MostUnsorted;
        double furthest = isSorted ? double.NegativeInfinity : double.PositiveInfinity;
        if (isSorted)
        {
            edges.Sort(static (a, b) => a.XMin.CompareTo(b.XMin));
        }

        for (int i = 0; i < edges.Length; i++)
        {
            furthest = Math.Max(furthest, edges[i].XMax);
            reach[i] = furthest;
        }

        double best = double.PositiveInfinity;
        foreach (Edge corner in edges)
        {
            // Edges further left than the best distance so far cannot matter, nor those further right.
            for (int i = isSorted ? UpperBound(edges, corner.A.X + best) : count - 1; i >= 0 && reach[i] >= corner.A.X - best; i--)
            {
                if (IsNearer(corner, edges[i], best, out double distance, out double middleX, out double middleY)
                    && IsInside(edges, polygon.FillRule, middleX, middleY))
                {
                    best = distance;
                }
            }
        }

        return double.IsFinite(best) ? best : null;
    }

    private static void FindEdges(ContourSet contours, Span<Edge> edges)
    {
        int next = 0;
        for (int r = 0; r < contours.Count; r++)
        {
            ReadOnlySpan<GridPoint> ring = contours[r];
            GridPoint before = ring[^1];
            for (int i = 0; i < ring.Length; i++)
            {
                edges[next++] = new Edge(ring[i], ring[i + 1 == ring.Length ? 0 : i + 1], before);
                before = ring[i];
            }
        }
    }

    private static int UpperBound(ReadOnlySpan<Edge> edges, double x)
    {
        int low = 0;
        int high = edges.Length;
        while (low < high)
        {
            int middle = (low + high) / 2;
            (low, high) = edges[middle].XMin <= x ? (middle + 1, high) : (low, middle);
        }

        return low - 1;
    }

    /// <summary>
    /// True if the start of an edge is nearer than the best so far, but not at no distance, to another edge, where its
    /// perpendicular meets that edge, or to that edge's start, where both corners face each other. The middle of the way tells
    /// whether it runs inside.
    /// </summary>
    private static bool IsNearer(in Edge corner, in Edge edge, double best, out double distance, out double middleX, out double middleY)
    {
        double dx = (double)edge.B.X - edge.A.X;
        double dy = (double)edge.B.Y - edge.A.Y;
        double px = (double)corner.A.X - edge.A.X;
        double py = (double)corner.A.Y - edge.A.Y;
        double along = (px * dx) + (py * dy);
        double length = (dx * dx) + (dy * dy);
        (distance, middleX, middleY) = (0, 0, 0);
        if (along >= 0 && along <= length)
        {
            // Most pairs are out of question: they are told apart without a root.
            double across = Math.Abs((px * dy) - (py * dx));
            if (!(across > 0 && across * across < best * best * length))
            {
                return false;
            }

            // A perpendicular to the very end of an edge may run along the border: what counts is the side of the edge.
            double t = along / length;
            double nudge = 1e-6 * (t == 0 ? 1 : t == 1 ? -1 : 0);
            middleX = ((corner.A.X + edge.A.X + (t * dx)) / 2) + (nudge * dx);
            middleY = ((corner.A.Y + edge.A.Y + (t * dy)) / 2) + (nudge * dy);
            distance = across / Math.Sqrt(length);
            return distance < best;
        }

        double squared = (px * px) + (py * py);
        if (!(squared < best * best) || !IsFacing(corner, -px, -py) || !IsFacing(edge, px, py))
        {
            return false;
        }

        (middleX, middleY) = (edge.A.X + (px / 2), edge.A.Y + (py / 2));
        distance = Math.Sqrt(squared);
        return distance > 0 && distance < best;
    }

    /// <summary>True if the direction leads away from both edges of a corner: the corner is the nearest point of its own surroundings.</summary>
    private static bool IsFacing(in Edge corner, double x, double y) =>
        (x * ((double)corner.B.X - corner.A.X)) + (y * ((double)corner.B.Y - corner.A.Y)) < 0
        && (x * ((double)corner.Before.X - corner.A.X)) + (y * ((double)corner.Before.Y - corner.A.Y)) < 0;

    private static bool IsInside(ReadOnlySpan<Edge> edges, FillRule rule, double x, double y)
    {
        int winding = 0;
        foreach (Edge edge in edges)
        {
            if (edge.XMax < x || edge.A.Y <= y == edge.B.Y <= y)
            {
                continue;
            }

            double side = (((double)edge.B.X - edge.A.X) * (y - edge.A.Y)) - ((x - edge.A.X) * ((double)edge.B.Y - edge.A.Y));
            winding += edge.B.Y > y ? (side > 0 ? 1 : 0) : (side < 0 ? -1 : 0);
        }

        return rule switch
        {
            FillRule.EvenOdd => (winding & 1) != 0,
            FillRule.Positive => winding > 0,
            _ => winding != 0,
        };
    }

    private readonly record struct Edge(GridPoint A, GridPoint B, GridPoint Before)
    {
        public double XMin => Math.Min(A.X, B.X);

        public double XMax => Math.Max(A.X, B.X);
    }
}
