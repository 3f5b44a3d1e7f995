using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Compare;

/// <summary>
/// Figures as a flat layout. A corner is where an edge meets a height, seldom a grid point: it is moved to the nearest
/// one along its height, so that areas that are cut differently may differ by half a grid step.
/// </summary>
internal static class FiguresOutline
{
    /// <summary>The figures' areas, lines and dots by layer and dose factor.</summary>
    public static FlatLayout Of(FiguresDocument document)
    {
        var groups = new SortedDictionary<(int Layer, DoseFactor DoseFactor), Group>();
        foreach (Figure figure in document.Figures)
        {
            if (!groups.TryGetValue((figure.Layer, figure.DoseFactor), out Group? group))
            {
                groups[(figure.Layer, figure.DoseFactor)] = group = new Group();
            }

            group.Add(figure);
        }

        return new FlatLayout(
            document.Header.GridPicometres,
            document.Header.Layers,
            [.. groups.Select(entry => entry.Value.ToLayer(entry.Key.Layer, entry.Key.DoseFactor))]);
    }

    private sealed class Group
    {
        private readonly ContourSetBuilder area = new();
        private readonly List<System.Collections.Immutable.ImmutableArray<GridPoint>> lines = [];
        private readonly List<GridPoint> dots = [];

        public void Add(in Figure figure)
        {
            switch (figure.Kind)
            {
                case FigureKind.Line:
                    lines.Add([figure.Start, figure.End]);
                    break;
                case FigureKind.Dot:
                    dots.Add(figure.Start);
                    break;
                default:
                    AddTrapezoid(figure);
                    break;
            }
        }

        public FlatLayer ToLayer(int layer, DoseFactor doseFactor) => new(layer, doseFactor, area.ToContourSet(), [.. lines], [.. dots]);

        private void AddTrapezoid(in Figure figure)
        {
            Trapezoid shape = figure.Shape;
            ReadOnlySpan<GridPoint> corners =
            [
                new(At(shape.Left, shape.YBottom), shape.YBottom),
                new(At(shape.Right, shape.YBottom), shape.YBottom),
                new(At(shape.Right, shape.YTop), shape.YTop),
                new(At(shape.Left, shape.YTop), shape.YTop),
            ];

            // Exchanging x and y turns the ring round; the nonzero rule does not mind.
            foreach (GridPoint corner in corners)
            {
                area.Add(figure.IsTransposed ? new GridPoint(corner.Y, corner.X) : corner);
            }

            area.EndRing();
        }

        private static int At(GridEdge edge, int y)
        {
            long height = (long)edge.Upper.Y - edge.Lower.Y;
            Int128 scaled = (Int128)((long)edge.Upper.X - edge.Lower.X) * ((long)y - edge.Lower.Y) * 2 + height;
            return edge.Lower.X + (int)FloorDivide(scaled, 2 * (Int128)height);
        }

        private static Int128 FloorDivide(Int128 a, Int128 b) => a / b - (a % b < 0 ? 1 : 0);
    }
}
