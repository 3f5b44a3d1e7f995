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
        Edge[] edges = Edges(polygon.Contours);
        Array.Sort(edges, (a, b) => a.XMin.CompareTo(b.XMin));
        double[] reach = new double[edges.Length];
        double furthest = double.NegativeInfinity;
        for (int i = 0; i < edges.Length; i++)
        {
            furthest = Math.Max(furthest, edges[i].XMax);
            reach[i] = furthest;
        }

        double best = double.PositiveInfinity;
        foreach (Edge corner in edges)
        {
            // Edges further left than the best distance so far cannot matter, nor those further right.
            for (int i = UpperBound(edges, corner.A.X + best); i >= 0 && reach[i] >= corner.A.X - best; i--)
            {
                double distance = Distance(corner, edges[i], out double middleX, out double middleY);
                if (distance > 0 && distance < best && IsInside(edges, polygon.FillRule, middleX, middleY))
                {
                    best = distance;
                }
            }
        }

        return double.IsFinite(best) ? best : null;
    }

    private static Edge[] Edges(ContourSet contours)
    {
        var edges = new List<Edge>(contours.PointCount);
        for (int r = 0; r < contours.Count; r++)
        {
            ReadOnlySpan<GridPoint> ring = contours[r];
            for (int i = 0; i < ring.Length; i++)
            {
                edges.Add(new Edge(ring[i], ring[(i + 1) % ring.Length], ring[(i + ring.Length - 1) % ring.Length]));
            }
        }

        return [.. edges];
    }

    private static int UpperBound(Edge[] edges, double x)
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
    /// Distance from the start of an edge to another edge, if its perpendicular meets that edge, or to that edge's start, if both
    /// corners face each other; else infinity. The middle of the way tells whether it runs inside.
    /// </summary>
    private static double Distance(in Edge corner, in Edge edge, out double middleX, out double middleY)
    {
        double dx = (double)edge.B.X - edge.A.X;
        double dy = (double)edge.B.Y - edge.A.Y;
        double px = (double)corner.A.X - edge.A.X;
        double py = (double)corner.A.Y - edge.A.Y;
        double t = ((px * dx) + (py * dy)) / ((dx * dx) + (dy * dy));
        if (t >= 0 && t <= 1)
        {
            // A perpendicular to the very end of an edge may run along the border: what counts is the side of the edge.
            double nudged = t + (1e-6 * (t == 0 ? 1 : t == 1 ? -1 : 0));
            middleX = ((corner.A.X + edge.A.X + (t * dx)) / 2) + ((nudged - t) * dx);
            middleY = ((corner.A.Y + edge.A.Y + (t * dy)) / 2) + ((nudged - t) * dy);
            return Math.Abs((px * dy) - (py * dx)) / Math.Sqrt((dx * dx) + (dy * dy));
        }

        (middleX, middleY) = (edge.A.X + (px / 2), edge.A.Y + (py / 2));
        bool isFacing = IsFacing(corner, -px, -py) && IsFacing(edge, px, py);
        return isFacing ? Math.Sqrt((px * px) + (py * py)) : double.PositiveInfinity;
    }

    /// <summary>True if the direction leads away from both edges of a corner: the corner is the nearest point of its own surroundings.</summary>
    private static bool IsFacing(in Edge corner, double x, double y) =>
        (x * ((double)corner.B.X - corner.A.X)) + (y * ((double)corner.B.Y - corner.A.Y)) < 0
        && (x * ((double)corner.Before.X - corner.A.X)) + (y * ((double)corner.Before.Y - corner.A.Y)) < 0;

    private static bool IsInside(Edge[] edges, FillRule rule, double x, double y)
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
