using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>What a print is compared with.</summary>
/// <param name="Areas">Merged outlines of all areas, the drawn area on their left: their edges are measured.</param>
/// <param name="Shapes">The same with single lines and dots, which are as wide as a print cannot be: what hangs together is compared with these.</param>
internal sealed record DrawnPattern(ContourSet Areas, ContourSet Shapes)
{
    private const double LineWidthPicometres = 1000;

    /// <summary>A pattern of areas alone.</summary>
    public static DrawnPattern OfAreas(ContourSet areas) => new(areas, areas);

    /// <summary>A layout's pattern, without areas that are to keep a part of the film and have no outline.</summary>
    /// <param name="layout">The layout.</param>
    /// <param name="window">The only part of interest, or null for all; what lies outside is left out, ring by ring.</param>
    /// <param name="limits">How many crossings are allowed.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public static DrawnPattern Of(FlatLayout layout, SampleWindow? window, WorkLimits limits, CancellationToken cancellation)
    {
        limits = limits.At("all layers together");
        double scale = layout.GridPicometres * 1e-3;
        var rings = new ContourSetBuilder();
        foreach (FlatLayer group in layout.Groups.Where(group => group.Height is not { Prints: false }))
        {
            for (int i = 0; i < group.Area.Count; i++)
            {
                if (IsSeen(group.Area[i]))
                {
                    rings.AddRing(group.Area[i]);
                }
            }
        }

        ContourSet areas = RegionBoolean.Merge(rings.ToContourSet(), limits: limits, cancellation: cancellation);
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
            : new DrawnPattern(areas, RegionBoolean.Compute(areas, thin.ToContourSet(), BooleanOperation.Union, limits: limits, cancellation: cancellation));

        bool IsSeen(ReadOnlySpan<GridPoint> points)
        {
            GridBox box = GridBox.Around(points);
            return window?.Meets(new SampleWindow(box.XLeft * scale, box.YBottom * scale, box.XRight * scale, box.YTop * scale)) ?? true;
        }
    }

    /// <summary>The pattern with the registration marks that are made for every write field.</summary>
    /// <param name="marks">The marks, or null for none.</param>
    /// <param name="plan">Where the fields are, or null for none.</param>
    /// <param name="gridPicometres">Grid of the outlines.</param>
    /// <param name="limits">How many crossings are allowed.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public DrawnPattern With(FieldMarks? marks, FieldPlan? plan, long gridPicometres, WorkLimits limits, CancellationToken cancellation)
    {
        if (marks is null || marks.Places.IsEmpty || plan is null)
        {
            return this;
        }

        var rings = new ContourSetBuilder();
        foreach (WriteField field in plan.Fields)
        {
            (double x, double y) = (field.Centre.X * plan.GridPicometres * 1e-3, field.Centre.Y * plan.GridPicometres * 1e-3);
            foreach ((double left, double bottom, double right, double top) in marks.Rectangles())
            {
                rings.AddRing(
                [
                    new(OnGrid(x + left), OnGrid(y + bottom)), new(OnGrid(x + right), OnGrid(y + bottom)),
                    new(OnGrid(x + right), OnGrid(y + top)), new(OnGrid(x + left), OnGrid(y + top)),
                ]);
            }
        }

        ContourSet added = rings.ToContourSet();
        ContourSet areas = RegionBoolean.Compute(Areas, added, BooleanOperation.Union, limits: limits, cancellation: cancellation);
        return ReferenceEquals(Areas, Shapes)
            ? OfAreas(areas)
            : new DrawnPattern(areas, RegionBoolean.Compute(Shapes, added, BooleanOperation.Union, limits: limits, cancellation: cancellation));

        int OnGrid(double nanometres) => (int)Math.Clamp(Math.Round(nanometres * 1000 / gridPicometres), -GridPoint.Limit, GridPoint.Limit);
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
