using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Reports;

/// <summary>
/// Chooses the part of a layout that is worth a close look: where most edges lie in a window of a given size, because
/// that is where features are finest.
/// </summary>
internal static class FinestPlace
{
    // A dot counts as the edge of a disc of this diameter.
    private const double DotNanometres = 20;

    // A narrower window does not make the search finer: cells of a window that few pixels fill would be without number.
    private const double MostWindows = 1024;

    /// <summary>The window; around the whole pattern where that is smaller.</summary>
    /// <param name="layout">The layout.</param>
    /// <param name="widthNanometres">Width of the window.</param>
    /// <param name="heightNanometres">Height of the window.</param>
    public static SampleWindow Choose(FlatLayout layout, double widthNanometres, double heightNanometres)
    {
        double scale = layout.GridPicometres * 1e-3;
        SampleWindow extent = ExtentOf(layout, scale);
        if (extent.Right - extent.Left <= widthNanometres && extent.Top - extent.Bottom <= heightNanometres)
        {
            return Around((extent.Left + extent.Right) / 2, (extent.Bottom + extent.Top) / 2, widthNanometres, heightNanometres);
        }

        var edges = new EdgeCells(
            Math.Max(widthNanometres, (extent.Right - extent.Left) / MostWindows) / 2, Math.Max(heightNanometres, (extent.Top - extent.Bottom) / MostWindows) / 2);
        foreach (FlatLayer group in layout.Groups)
        {
            Add(edges, group, scale);
        }

        (double x, double y) = edges.Fullest();
        return Around(x, y, widthNanometres, heightNanometres);
    }

    private static SampleWindow Around(double x, double y, double width, double height) =>
        new(x - width / 2, y - height / 2, x + width / 2, y + height / 2);

    private static void Add(EdgeCells edges, FlatLayer group, double scale)
    {
        for (int i = 0; i < group.Area.Count; i++)
        {
            ReadOnlySpan<GridPoint> ring = group.Area[i];
            GridPoint from = ring[^1];
            foreach (GridPoint to in ring)
            {
                edges.Add(from.X * scale, from.Y * scale, to.X * scale, to.Y * scale);
                from = to;
            }
        }

        foreach (ImmutableArray<GridPoint> line in group.Lines)
        {
            for (int i = 1; i < line.Length; i++)
            {
                // A line prints with an edge on either side.
                edges.Add(line[i - 1].X * scale, line[i - 1].Y * scale, line[i].X * scale, line[i].Y * scale);
                edges.Add(line[i].X * scale, line[i].Y * scale, line[i - 1].X * scale, line[i - 1].Y * scale);
            }
        }

        foreach (GridPoint dot in group.Dots)
        {
            edges.AddAt(dot.X * scale, dot.Y * scale, Math.PI * DotNanometres);
        }
    }

    private static SampleWindow ExtentOf(FlatLayout layout, double scale)
    {
        (double left, double bottom, double right, double top) = (double.MaxValue, double.MaxValue, double.MinValue, double.MinValue);
        foreach (FlatLayer group in layout.Groups)
        {
            Widen(group.Area.Points);
            Widen(group.Dots.AsSpan());
            foreach (ImmutableArray<GridPoint> line in group.Lines)
            {
                Widen(line.AsSpan());
            }
        }

        return left > right ? default : new SampleWindow(left * scale, bottom * scale, right * scale, top * scale);

        void Widen(ReadOnlySpan<GridPoint> points)
        {
            foreach (GridPoint point in points)
            {
                (left, right) = (Math.Min(left, point.X), Math.Max(right, point.X));
                (bottom, top) = (Math.Min(bottom, point.Y), Math.Max(top, point.Y));
            }
        }
    }

    /// <summary>Length of edge in cells that are half a window wide and high, so that two by two make a window.</summary>
    private sealed class EdgeCells(double width, double height)
    {
        private const int MostPieces = 10_000;
        private readonly Dictionary<(int Column, int Row), double> lengths = [];

        public void Add(double fromX, double fromY, double toX, double toY)
        {
            double dx = toX - fromX;
            double dy = toY - fromY;
            double length = Math.Sqrt(dx * dx + dy * dy);
            int pieces = (int)Math.Clamp(Math.Ceiling(4 * Math.Max(Math.Abs(dx) / width, Math.Abs(dy) / height)), 1, MostPieces);
            for (int i = 0; i < pieces; i++)
            {
                double at = (i + 0.5) / pieces;
                AddAt(fromX + at * dx, fromY + at * dy, length / pieces);
            }
        }

        public void AddAt(double x, double y, double length)
        {
            (int, int) cell = ((int)Math.Floor(x / width), (int)Math.Floor(y / height));
            lengths[cell] = lengths.GetValueOrDefault(cell) + length;
        }

        /// <summary>Middle of the two by two cells with most edge; the lowest, then leftmost of equals.</summary>
        public (double X, double Y) Fullest()
        {
            (int Column, int Row) best = default;
            double most = -1;
            foreach ((int column, int row) in lengths.Keys.OrderBy(cell => cell.Row).ThenBy(cell => cell.Column))
            {
                // The cell may be any of the four.
                for (int k = 0; k < 4; k++)
                {
                    (int left, int bottom) = (column - k % 2, row - k / 2);
                    double sum = Of(left, bottom) + Of(left + 1, bottom) + Of(left, bottom + 1) + Of(left + 1, bottom + 1);
                    if (sum > most)
                    {
                        (best, most) = ((left, bottom), sum);
                    }
                }
            }

            return ((best.Column + 1) * width, (best.Row + 1) * height);
        }

        private double Of(int column, int row) => lengths.GetValueOrDefault((column, row));
    }
}
