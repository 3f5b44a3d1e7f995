using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.Model.Layout;

/// <summary>
/// Bounding box of a layout, in grid steps. Exact for instances turned by whole quarter turns; a cell turned otherwise counts
/// with the box around its turned box, so that the extent is an upper bound (<see cref="IsUpperBound"/>).
/// </summary>
/// <param name="XMin">Left.</param>
/// <param name="YMin">Bottom.</param>
/// <param name="XMax">Right.</param>
/// <param name="YMax">Top.</param>
internal readonly record struct LayoutExtent(double XMin, double YMin, double XMax, double YMax)
{
    // Of round ends, in grid steps.
    private const double ChordError = 1;

    internal static LayoutExtent Nothing => new(double.MaxValue, double.MaxValue, double.MinValue, double.MinValue);

    /// <summary>From left to right.</summary>
    public double Width => XMax - XMin;

    /// <summary>From bottom to top.</summary>
    public double Height => YMax - YMin;

    /// <summary>Extent of the top cell with all it places, or null if there is nothing in it.</summary>
    public static LayoutExtent? Of(LayoutDocument layout)
    {
        // Cells come before the cells that place them.
        var extents = new Dictionary<string, LayoutExtent>(StringComparer.Ordinal);
        foreach (Cell cell in layout.Cells)
        {
            LayoutExtent extent = Nothing;
            foreach (Shape shape in cell.Shapes)
            {
                extent = extent.With(OfShape(shape));
            }

            foreach (Instance instance in cell.Instances)
            {
                extent = extent.With(OfInstance(instance, extents[instance.CellName]));
            }

            extents[cell.Name] = extent;
        }

        LayoutExtent top = extents[layout.TopCell];
        return top.XMin <= top.XMax ? top : null;
    }

    /// <summary>True if the extent of a layout is an upper bound: a cell in it is turned by other than quarter turns.</summary>
    public static bool IsUpperBound(LayoutDocument layout) =>
        layout.Cells.Any(cell => cell.Instances.Any(i => i.Orientation.RotationDegrees % 90 != 0));

    internal static LayoutExtent OfShape(Shape shape) => shape switch
    {
        RectangleShape r => new(r.XLeft, r.YBottom, r.XRight, r.YTop),
        PolygonShape p => OfPoints(p.Contours.Points),
        CircleShape c => new(c.Centre.X - (double)c.Radius, c.Centre.Y - (double)c.Radius, c.Centre.X + (double)c.Radius, c.Centre.Y + (double)c.Radius),
        RingShape r => new(r.Centre.X - (double)r.OuterRadius, r.Centre.Y - (double)r.OuterRadius, r.Centre.X + (double)r.OuterRadius, r.Centre.Y + (double)r.OuterRadius),
        PathShape p => OfPath(p),
        LineShape l => OfPoints(l.Points.AsSpan()),
        DotShape d => new(d.Position.X, d.Position.Y, d.Position.X, d.Position.Y),
        _ => throw new InvalidOperationException($"{shape.GetType().Name} has no extent."),
    };

    private static LayoutExtent OfPoints(ReadOnlySpan<GridPoint> points)
    {
        if (points.IsEmpty)
        {
            return Nothing;
        }

        (int left, int bottom) = (int.MaxValue, int.MaxValue);
        (int right, int top) = (int.MinValue, int.MinValue);
        foreach (GridPoint p in points)
        {
            (left, bottom) = (Math.Min(left, p.X), Math.Min(bottom, p.Y));
            (right, top) = (Math.Max(right, p.X), Math.Max(top, p.Y));
        }

        return new(left, bottom, right, top);
    }

    private static LayoutExtent OfPath(PathShape path)
    {
        StrokeEnd end = path.End switch { PathEnd.Square => StrokeEnd.Square, PathEnd.Round => StrokeEnd.Round, _ => StrokeEnd.Flat };
        PlanePoint[] points = [.. path.Points.Select(PlanePoint.From)];
        LayoutExtent extent = Nothing;
        foreach (PlanePoint corner in PathOutline.Of(points, new StrokeStyle(path.Width, end), ChordError).SelectMany(ring => ring))
        {
            extent = extent.With(new(corner.X, corner.Y, corner.X, corner.Y));
        }

        return extent;
    }

    internal static LayoutExtent OfInstance(Instance instance, LayoutExtent cell)
    {
        if (cell.XMin > cell.XMax)
        {
            return Nothing;
        }

        (double sin, double cos) = Trigonometry.SinCosDegrees(instance.Orientation.RotationDegrees);
        LayoutExtent turned = Nothing;
        for (int corner = 0; corner < 4; corner++)
        {
            double x = instance.Orientation.ScaleX * ((corner & 1) == 0 ? cell.XMin : cell.XMax);
            double y = instance.Orientation.ScaleY * ((corner & 2) == 0 ? cell.YMin : cell.YMax);
            double atX = instance.Origin.X + (cos * x) - (sin * y);
            double atY = instance.Origin.Y + (sin * x) + (cos * y);
            turned = turned.With(new(atX, atY, atX, atY));
        }

        Repetition r = instance.Repetition;
        LayoutExtent all = Nothing;
        for (int corner = 0; corner < 4; corner++)
        {
            double i = (corner & 1) == 0 ? 0 : r.Columns - 1;
            double j = (corner & 2) == 0 ? 0 : r.Rows - 1;
            double dx = (i * r.ColumnStep.X) + (j * r.RowStep.X);
            double dy = (i * r.ColumnStep.Y) + (j * r.RowStep.Y);
            all = all.With(new(turned.XMin + dx, turned.YMin + dy, turned.XMax + dx, turned.YMax + dy));
        }

        return all;
    }

    internal LayoutExtent With(in LayoutExtent other) => new(
        Math.Min(XMin, other.XMin), Math.Min(YMin, other.YMin), Math.Max(XMax, other.XMax), Math.Max(YMax, other.YMax));
}
