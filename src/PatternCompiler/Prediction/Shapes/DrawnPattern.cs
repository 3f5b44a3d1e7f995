using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>What a print is held against.</summary>
/// <param name="Areas">Merged outlines of all areas, the drawn area on their left: their edges are measured.</param>
/// <param name="Shapes">The same with single lines and dots, which are as wide as a print cannot be: what hangs together is compared with these.</param>
public sealed record DrawnPattern(ContourSet Areas, ContourSet Shapes)
{
    private const double LineWidthPicometres = 1000;

    /// <summary>A pattern of areas alone.</summary>
    public static DrawnPattern OfAreas(ContourSet areas) => new(areas, areas);

    /// <summary>A layout's pattern.</summary>
    /// <param name="layout">The layout.</param>
    /// <param name="window">The only part of interest, or null for all; what lies outside is left out, ring by ring.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public static DrawnPattern Of(FlatLayout layout, SampleWindow? window, CancellationToken cancellation)
    {
        double scale = layout.GridPicometres * 1e-3;
        var rings = new ContourSetBuilder();
        foreach (FlatLayer group in layout.Groups)
        {
            for (int i = 0; i < group.Area.Count; i++)
            {
                if (IsSeen(group.Area[i]))
                {
                    rings.AddRing(group.Area[i]);
                }
            }
        }

        ContourSet areas = RegionBoolean.Merge(rings.ToContourSet(), cancellation: cancellation);
        var thin = new ContourSetBuilder();
        int half = (int)Math.Max(1, LineWidthPicometres / layout.GridPicometres / 2);
        foreach (FlatLayer group in layout.Groups)
        {
            foreach (ImmutableArray<GridPoint> line in group.Lines)
            {
                if (IsSeen(line.AsSpan()))
                {
                    AddLine(thin, line, half);
                }
            }

            foreach (GridPoint dot in group.Dots)
            {
                if (IsSeen([dot]))
                {
                    thin.AddRing([new(dot.X - half, dot.Y - half), new(dot.X + half, dot.Y - half), new(dot.X + half, dot.Y + half), new(dot.X - half, dot.Y + half)]);
                }
            }
        }

        return thin.Count == 0
            ? OfAreas(areas)
            : new DrawnPattern(areas, RegionBoolean.Compute(areas, thin.ToContourSet(), BooleanOperation.Union, cancellation: cancellation));

        bool IsSeen(ReadOnlySpan<GridPoint> points)
        {
            GridBox box = GridBox.Around(points);
            return window?.Meets(new SampleWindow(box.XLeft * scale, box.YBottom * scale, box.XRight * scale, box.YTop * scale)) ?? true;
        }
    }

    private static void AddLine(ContourSetBuilder rings, ImmutableArray<GridPoint> line, int half)
    {
        PlanePoint[] points = [.. line.Select(PlanePoint.From)];
        foreach (List<PlanePoint> ring in PathOutline.Of(points, new StrokeStyle(2 * half, StrokeEnd.Square), half / 2.0))
        {
            rings.AddRing([.. ring.Select(point => point.ToGrid())]);
        }
    }
}
