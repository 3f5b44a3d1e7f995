using PatternCompiler.Geometry;
using PatternCompiler.Prediction;

namespace PatternCompiler.Measure.Edges;

/// <summary>The outlines of a drawing around a picture: edges, the stretches from corner to corner, and what lies across from an edge.</summary>
internal sealed class DrawnOutlines
{
    // Outlines of circles turn by less than this from edge to edge.
    private const double CornerCosine = 0.94;
    private const int MostCells = 512;

    private readonly List<DrawnEdge> edges = [];
    private readonly List<DrawnStretch> stretches = [];
    private readonly List<int>[] cells;
    private readonly SampleWindow window;
    private readonly int side;
    private readonly double cellX;
    private readonly double cellY;

    /// <summary>Gathers what meets a window.</summary>
    public DrawnOutlines(ContourSet outlines, long gridPicometres, SampleWindow window)
    {
        this.window = window;
        double scale = gridPicometres * 1e-3;
        for (int i = 0; i < outlines.Count; i++)
        {
            GridBox box = GridBox.Around(outlines[i]);
            if (window.Meets(new SampleWindow(box.XLeft * scale, box.YBottom * scale, box.XRight * scale, box.YTop * scale)))
            {
                AddRing(outlines[i], i, scale);
            }
        }

        side = (int)Math.Clamp(Math.Sqrt(edges.Count), 1, MostCells);
        (cellX, cellY) = ((window.Right - window.Left) / side, (window.Top - window.Bottom) / side);
        cells = new List<int>[side * side];
        for (int edge = 0; edge < edges.Count; edge++)
        {
            AddToCells(edge);
        }
    }

    /// <summary>All edges.</summary>
    public IReadOnlyList<DrawnEdge> Edges => edges;

    /// <summary>All stretches.</summary>
    public IReadOnlyList<DrawnStretch> Stretches => stretches;

    /// <summary>Distance from a place to the nearest edge; infinite if there is none.</summary>
    public double DistanceTo(double x, double y)
    {
        double nearest = double.PositiveInfinity;
        foreach (DrawnEdge edge in edges)
        {
            double length = edge.Length;
            (double tx, double ty) = ((edge.BX - edge.AX) / length, (edge.BY - edge.AY) / length);
            double along = Math.Clamp((x - edge.AX) * tx + (y - edge.AY) * ty, 0, length);
            (double dx, double dy) = (x - edge.AX - along * tx, y - edge.AY - along * ty);
            nearest = Math.Min(nearest, Math.Sqrt(dx * dx + dy * dy));
        }

        return nearest;
    }

    /// <summary>The first edge in a direction from a place on another one; null if there is none in reach.</summary>
    /// <param name="from">Index of the edge to start from.</param>
    /// <param name="x">The place.</param>
    /// <param name="y">The place.</param>
    /// <param name="directionX">Direction, of length 1.</param>
    /// <param name="directionY">Direction, of length 1.</param>
    /// <param name="reach">How far to look.</param>
    public (int Edge, double Distance)? Across(int from, double x, double y, double directionX, double directionY, double reach)
    {
        (int Edge, double Distance)? nearest = null;
        double best = reach;
        (int column, int row) = (ColumnOf(x), RowOf(y));
        (int stepX, int stepY) = (Math.Sign(directionX), Math.Sign(directionY));
        double nextX = stepX == 0 ? double.PositiveInfinity : (window.Left + (column + (stepX > 0 ? 1 : 0)) * cellX - x) / directionX;
        double nextY = stepY == 0 ? double.PositiveInfinity : (window.Bottom + (row + (stepY > 0 ? 1 : 0)) * cellY - y) / directionY;
        double entered = 0;
        while (entered <= best && column >= 0 && row >= 0 && column < side && row < side)
        {
            foreach (int edge in cells[row * side + column] ?? [])
            {
                if (edge != from && Distance(edges[edge], x, y, directionX, directionY) is { } distance && distance < best)
                {
                    (nearest, best) = ((edge, distance), distance);
                }
            }

            if (nextX < nextY)
            {
                (entered, nextX, column) = (nextX, nextX + cellX / Math.Abs(directionX), column + stepX);
            }
            else
            {
                (entered, nextY, row) = (nextY, nextY + cellY / Math.Abs(directionY), row + stepY);
            }
        }

        return nearest;
    }

    private static double? Distance(DrawnEdge edge, double x, double y, double directionX, double directionY)
    {
        (double ex, double ey) = (edge.BX - edge.AX, edge.BY - edge.AY);
        double cross = directionX * ey - directionY * ex;
        if (cross == 0)
        {
            return null;
        }

        (double ax, double ay) = (edge.AX - x, edge.AY - y);
        double distance = (ax * ey - ay * ex) / cross;
        double along = (ax * directionY - ay * directionX) / cross;
        return distance > 0 && along is >= 0 and <= 1 ? distance : null;
    }

    private void AddRing(ReadOnlySpan<GridPoint> ring, int number, double scale)
    {
        int first = 0;
        bool hasCorner = false;
        for (int k = 0; k < ring.Length && !hasCorner; k++)
        {
            (hasCorner, first) = (Cosine(ring, k) < CornerCosine, k);
        }

        first = hasCorner ? first : 0;
        int start = edges.Count;
        double way = 0, curvature = 0;
        bool isStraight = true;
        for (int i = 0; i < ring.Length; i++)
        {
            int k = (first + i) % ring.Length;
            (GridPoint a, GridPoint b) = (ring[k], ring[(k + 1) % ring.Length]);
            var edge = new DrawnEdge(a.X * scale, a.Y * scale, b.X * scale, b.Y * scale, stretches.Count, way);
            edges.Add(edge);
            way += edge.Length;
            int next = (k + 1) % ring.Length;
            double cosine = Cosine(ring, next);
            bool ends = i == ring.Length - 1 || cosine < CornerCosine;
            if (!ends || !hasCorner)
            {
                isStraight &= cosine >= 1;
                curvature = Math.Max(curvature, Math.Acos(Math.Min(1, cosine)) / edge.Length);
            }

            if (ends)
            {
                stretches.Add(new DrawnStretch(number, way, !hasCorner, isStraight && edges.Count - start == 1, curvature));
                (start, way, curvature, isStraight) = (edges.Count, 0, 0, true);
            }
        }
    }

    private static double Cosine(ReadOnlySpan<GridPoint> ring, int k)
    {
        (GridPoint a, GridPoint b, GridPoint c) = (ring[(k + ring.Length - 1) % ring.Length], ring[k], ring[(k + 1) % ring.Length]);
        (double ux, double uy) = ((double)b.X - a.X, (double)b.Y - a.Y);
        (double vx, double vy) = ((double)c.X - b.X, (double)c.Y - b.Y);
        return (ux * vx + uy * vy) / Math.Sqrt((ux * ux + uy * uy) * (vx * vx + vy * vy));
    }

    private int ColumnOf(double x) => (int)Math.Floor((x - window.Left) / cellX);

    private int RowOf(double y) => (int)Math.Floor((y - window.Bottom) / cellY);

    private void AddToCells(int index)
    {
        DrawnEdge edge = edges[index];
        int left = Math.Max(0, ColumnOf(Math.Min(edge.AX, edge.BX))), right = Math.Min(side - 1, ColumnOf(Math.Max(edge.AX, edge.BX)));
        int bottom = Math.Max(0, RowOf(Math.Min(edge.AY, edge.BY))), top = Math.Min(side - 1, RowOf(Math.Max(edge.AY, edge.BY)));
        for (int row = bottom; row <= top; row++)
        {
            for (int column = left; column <= right; column++)
            {
                (cells[row * side + column] ??= []).Add(index);
            }
        }
    }
}
