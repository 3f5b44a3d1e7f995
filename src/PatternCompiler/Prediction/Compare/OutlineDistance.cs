using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Compare;

/// <summary>Finds how far a place is from the nearest outline, with the edges sorted into square cells.</summary>
internal sealed class OutlineDistance
{
    private const int EdgesPerCell = 2;

    private readonly List<(GridPoint Start, GridPoint End)> edges = [];
    private readonly Dictionary<(long X, long Y), List<int>> cells = [];
    private readonly double cell;
    private readonly (double Left, double Bottom, double Right, double Top) box;

    public OutlineDistance(ContourSet outlines)
    {
        double length = 0;
        (long left, long right, long bottom, long top) = (long.MaxValue, long.MinValue, long.MaxValue, long.MinValue);
        for (int ring = 0; ring < outlines.Count; ring++)
        {
            ReadOnlySpan<GridPoint> points = outlines[ring];
            for (int i = 0; i < points.Length; i++)
            {
                GridPoint start = points[i];
                GridPoint end = points[i + 1 < points.Length ? i + 1 : 0];
                edges.Add((start, end));
                length += Math.Abs((long)end.X - start.X) + Math.Abs((long)end.Y - start.Y);
                (left, right) = (Math.Min(left, start.X), Math.Max(right, start.X));
                (bottom, top) = (Math.Min(bottom, start.Y), Math.Max(top, start.Y));
            }
        }

        // An edge lies in about length/cell cells: as many entries as edges, a few times over.
        cell = edges.Count == 0 ? 1 : Math.Max(1, length / edges.Count / EdgesPerCell);
        box = (left, bottom, right, top);
        for (int i = 0; i < edges.Count; i++)
        {
            Enter(i);
        }
    }

    /// <summary>Distance in grid steps to the nearest outline.</summary>
    /// <param name="x">The place.</param>
    /// <param name="y">The place.</param>
    /// <param name="enough">A distance of no more than this need not be exact.</param>
    /// <param name="most">No farther than this is looked for.</param>
    public double From(double x, double y, double enough, double most)
    {
        if (edges.Count == 0)
        {
            return most;
        }

        // Cells about the place, ring by ring: from the first that can hold an edge to the last.
        long column = (long)Math.Floor(x / cell);
        long row = (long)Math.Floor(y / cell);
        double outside = Math.Max(Math.Max(box.Left - x, x - box.Right), Math.Max(box.Bottom - y, y - box.Top));
        double farthest = Math.Max(Math.Max(x - box.Left, box.Right - x), Math.Max(y - box.Bottom, box.Top - y));
        long last = (long)(farthest / cell) + 1;
        double nearest = most;
        for (long ring = Math.Max(0, (long)(outside / cell) - 1); ring <= last && nearest > enough && (ring - 1) * cell < nearest; ring++)
        {
            for (long i = -ring; i <= ring; i++)
            {
                nearest = Look(column + i, row + ring, x, y, nearest);
                nearest = Look(column + i, row - ring, x, y, nearest);
                nearest = Look(column + ring, row + i, x, y, nearest);
                nearest = Look(column - ring, row + i, x, y, nearest);
            }
        }

        return nearest;
    }

    private void Enter(int index)
    {
        (GridPoint start, GridPoint end) = edges[index];
        int steps = 1 + (int)(2 * Math.Max(Math.Abs((double)end.X - start.X), Math.Abs((double)end.Y - start.Y)) / cell);
        (long X, long Y) last = (long.MinValue, long.MinValue);
        for (int i = 0; i <= steps; i++)
        {
            double part = (double)i / steps;
            (long X, long Y) place = (
                (long)Math.Floor((start.X + part * ((double)end.X - start.X)) / cell),
                (long)Math.Floor((start.Y + part * ((double)end.Y - start.Y)) / cell));
            if (place != last)
            {
                if (!cells.TryGetValue(place, out List<int>? list))
                {
                    cells[place] = list = [];
                }

                list.Add(index);
                last = place;
            }
        }
    }

    private double Look(long column, long row, double x, double y, double nearest)
    {
        if (cells.TryGetValue((column, row), out List<int>? list))
        {
            foreach (int index in list)
            {
                nearest = Math.Min(nearest, Distance(edges[index].Start, edges[index].End, x, y));
            }
        }

        return nearest;
    }

    private static double Distance(GridPoint start, GridPoint end, double x, double y)
    {
        double dx = (double)end.X - start.X;
        double dy = (double)end.Y - start.Y;
        double squared = dx * dx + dy * dy;
        double part = squared == 0 ? 0 : Math.Clamp(((x - start.X) * dx + (y - start.Y) * dy) / squared, 0, 1);
        double ex = start.X + part * dx - x;
        double ey = start.Y + part * dy - y;
        return Math.Sqrt(ex * ex + ey * ey);
    }
}
