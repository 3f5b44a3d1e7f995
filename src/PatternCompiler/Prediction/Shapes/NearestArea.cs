using PatternCompiler.Geometry;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>The drawn area that lies nearest to a point outside every area.</summary>
internal static class NearestArea
{
    /// <summary>Its layer, how far it is, and its nearest place; or that there is none.</summary>
    public static string Describe(FlatLayout layout, NetPoint point)
    {
        double scale = layout.GridPicometres * 1e-3;
        (double x, double y) = (point.XNanometres / scale, point.YNanometres / scale);
        (double Square, double X, double Y, int Layer) nearest = (double.PositiveInfinity, 0, 0, -1);
        foreach (FlatLayer group in layout.Groups)
        {
            for (int i = 0; i < group.Area.Count; i++)
            {
                ReadOnlySpan<GridPoint> ring = group.Area[i];
                GridPoint a = ring[^1];
                foreach (GridPoint b in ring)
                {
                    (double nearX, double nearY) = NearestOn(a, b, x, y);
                    double square = (nearX - x) * (nearX - x) + (nearY - y) * (nearY - y);
                    if (square < nearest.Square)
                    {
                        nearest = (square, nearX, nearY, group.Layer);
                    }

                    a = b;
                }
            }
        }

        return nearest.Layer < 0
            ? "nothing drawn has an area"
            : $"the nearest area is on layer '{layout.LayerNames[nearest.Layer]}', {QuantityText.Format(Math.Sqrt(nearest.Square) * scale * 1e-9, Dimension.Length)} away at {NetCheck.Text(new NetPoint(nearest.X * scale, nearest.Y * scale, default))}";
    }

    private static (double X, double Y) NearestOn(GridPoint a, GridPoint b, double x, double y)
    {
        (double dx, double dy) = ((double)b.X - a.X, (double)b.Y - a.Y);
        double square = dx * dx + dy * dy;
        double part = square == 0 ? 0 : Math.Clamp(((x - a.X) * dx + (y - a.Y) * dy) / square, 0, 1);
        return (a.X + part * dx, a.Y + part * dy);
    }
}
