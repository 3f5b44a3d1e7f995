using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Puts a layout on a finer grid: every coordinate times a whole number, so that nothing moves.</summary>
internal static class GridRefinement
{
    /// <summary>The coarsest grid that holds the points of several grids exactly: their greatest common divisor.</summary>
    public static long CommonGrid(IEnumerable<long> gridsPicometres) => gridsPicometres.Aggregate(0L, Gcd);

    /// <summary>The layout on another grid, which divides its own.</summary>
    /// <exception cref="CompileException">A coordinate is too large for the finer grid.</exception>
    public static LayoutDocument Run(LayoutDocument layout, long gridPicometres, string? file)
    {
        if (layout.GridPicometres == gridPicometres)
        {
            return layout;
        }

        var scale = new Scale(layout.GridPicometres / gridPicometres, gridPicometres, file);
        return layout with
        {
            GridPicometres = gridPicometres,
            Cells = [.. layout.Cells.Select(cell => new Cell(
                cell.Name,
                [.. cell.Shapes.Select(scale.Of)],
                [.. cell.Instances.Select(instance => instance with
                {
                    Origin = scale.Of(instance.Origin),
                    Repetition = instance.Repetition with
                    {
                        ColumnStep = scale.Of(instance.Repetition.ColumnStep),
                        RowStep = scale.Of(instance.Repetition.RowStep),
                    },
                })]))],
        };
    }

    private static long Gcd(long a, long b) => b == 0 ? a : Gcd(b, a % b);

    private sealed class Scale(long factor, long gridPicometres, string? file)
    {
        public Shape Of(Shape shape) => shape switch
        {
            RectangleShape s => s with { XLeft = Of(s.XLeft), YBottom = Of(s.YBottom), XRight = Of(s.XRight), YTop = Of(s.YTop) },
            PolygonShape s => s with { Contours = Of(s.Contours) },
            CircleShape s => s with { Centre = Of(s.Centre), Radius = Of(s.Radius) },
            RingShape s => s with { Centre = Of(s.Centre), InnerRadius = Of(s.InnerRadius), OuterRadius = Of(s.OuterRadius) },
            PathShape s => s with { Points = Of(s.Points), Width = Of(s.Width) },
            LineShape s => s with { Points = Of(s.Points) },
            DotShape s => s with { Position = Of(s.Position) },
            _ => throw new InvalidOperationException($"A {shape.GetType().Name} cannot be put on another grid."),
        };

        public GridPoint Of(GridPoint point) => new(Of(point.X), Of(point.Y));

        private ImmutableArray<GridPoint> Of(ImmutableArray<GridPoint> points) => [.. points.Select(Of)];

        private ContourSet Of(ContourSet contours)
        {
            var builder = new ContourSetBuilder();
            for (int i = 0; i < contours.Count; i++)
            {
                foreach (GridPoint point in contours[i])
                {
                    builder.Add(Of(point));
                }

                builder.EndRing();
            }

            return builder.ToContourSet();
        }

        private int Of(int coordinate)
        {
            long scaled = coordinate * factor;
            return scaled is >= -GridPoint.Limit and <= GridPoint.Limit
                ? (int)scaled
                : throw new CompileException(
                    JobCodes.ValueOutOfRange,
                    $"the drawings of this job meet on a grid of {QuantityText.Format(gridPicometres * 1e-12, Dimension.Length, 12)}, too fine for a coordinate of this one",
                    new SourcePlace(file),
                    "give the drawings one grid");
        }
    }
}
