using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Pictures;

/// <summary>Pictures a flattened layout: areas, lines and dots in their layer's colour, tinted by dose factor.</summary>
internal static class LayoutPicture
{
    /// <summary>Composes the picture.</summary>
    public static Scene Compose(FlatLayout layout, PictureOptions options)
    {
        double scale = layout.GridPicometres * 1e-3;
        var shapes = new DrawnShapes(options, layout.LayerNames);
        long rings = 0;
        long lines = 0;
        long dots = 0;
        foreach (FlatLayer group in layout.Groups)
        {
            shapes.Extend(ExtentOf(group, scale));
            shapes.AddDoseFactor(group.DoseFactor);
            shapes.CountAreas(group.Area.Count);
            rings += group.Area.Count;
            lines += group.Lines.Length;
            dots += group.Dots.Length;
        }

        shapes.ChooseFrame();
        foreach (FlatLayer group in layout.Groups)
        {
            AddGroup(shapes, group, scale);
        }

        string facts = FactText.Join(
            rings > 0 ? FactText.Count(rings, "outline", "outlines") : "",
            lines > 0 ? FactText.Count(lines, "line", "lines") : "",
            dots > 0 ? FactText.Count(dots, "dot", "dots") : "",
            FactText.Count(layout.LayerNames.Length, "layer", "layers"),
            FactText.Size(shapes.Extent));
        return shapes.Compose(FactText.Join(options.Title, "layout"), facts);
    }

    private static void AddGroup(DrawnShapes shapes, FlatLayer group, double scale)
    {
        for (int i = 0; i < group.Area.Count; i++)
        {
            shapes.AddArea(group.Layer, group.DoseFactor, Scaled(group.Area[i], scale));
        }

        foreach (ImmutableArray<GridPoint> line in group.Lines)
        {
            shapes.AddLine(group.Layer, group.DoseFactor, Scaled(line.AsSpan(), scale));
        }

        foreach (GridPoint dot in group.Dots)
        {
            shapes.AddDot(group.Layer, group.DoseFactor, new ScenePoint(dot.X * scale, dot.Y * scale));
        }
    }

    private static ScenePoint[] Scaled(ReadOnlySpan<GridPoint> points, double scale)
    {
        var scaled = new ScenePoint[points.Length];
        for (int i = 0; i < scaled.Length; i++)
        {
            scaled[i] = new ScenePoint(points[i].X * scale, points[i].Y * scale);
        }

        return scaled;
    }

    private static SceneExtent ExtentOf(FlatLayer group, double scale)
    {
        SceneExtent extent = SceneExtent.Empty;
        foreach (GridPoint point in group.Area.Points)
        {
            extent = extent.With(point.X * scale, point.Y * scale);
        }

        foreach (ImmutableArray<GridPoint> line in group.Lines)
        {
            foreach (GridPoint point in line)
            {
                extent = extent.With(point.X * scale, point.Y * scale);
            }
        }

        foreach (GridPoint dot in group.Dots)
        {
            extent = extent.With(dot.X * scale, dot.Y * scale);
        }

        return extent;
    }
}
