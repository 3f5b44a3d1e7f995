using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Flatten;

/// <summary>Sorts the chosen shapes of a cell by layer and dose factor and resolves their fill rules and curves, once for all copies.</summary>
internal static class CellPreparation
{
    /// <summary>Prepares one cell.</summary>
    public static PreparedCell Prepare(Cell cell, ShapeCensus census, double chordError, WorkLimits limits, CancellationToken cancellation)
    {
        var sorted = new OrderedDictionary<(int Layer, DoseFactor Dose), List<Shape>>();
        var drawn = new HashSet<Shape>(cell.Shapes.Length, SamePlaceComparer.Instance);
        long repeated = 0;
        Shape? firstRepeated = null;
        foreach (Shape shape in cell.Shapes)
        {
            if (!census.Keeps(shape))
            {
                continue;
            }

            // Lines that run along others are dealt with by fracturing, part by part.
            if (shape is not LineShape && !drawn.Add(shape))
            {
                repeated++;
                firstRepeated ??= shape;
                continue;
            }

            (int, DoseFactor) key = (shape.Layer, shape.DoseFactor);
            if (!sorted.TryGetValue(key, out List<Shape>? list))
            {
                sorted.Add(key, list = []);
            }

            list.Add(shape);
        }

        return new([.. sorted.Select(entry => Prepare(entry.Key.Layer, entry.Key.Dose, entry.Value, chordError, limits, cancellation))], repeated, firstRepeated);
    }

    private static PreparedGroup Prepare(int layer, DoseFactor dose, List<Shape> shapes, double chordError, WorkLimits limits, CancellationToken cancellation)
    {
        var straight = new ContourSetBuilder();
        var curved = new ContourSetBuilder();
        var curvedShapes = ImmutableArray.CreateBuilder<Shape>();
        var lines = ImmutableArray.CreateBuilder<ImmutableArray<GridPoint>>();
        var dots = ImmutableArray.CreateBuilder<GridPoint>();
        foreach (Shape shape in shapes)
        {
            switch (shape)
            {
                case RectangleShape r:
                    straight.AddRing([new(r.XLeft, r.YBottom), new(r.XRight, r.YBottom), new(r.XRight, r.YTop), new(r.XLeft, r.YTop)]);
                    break;
                case PolygonShape polygon:
                    straight.AddAll(AreaRings.Normalise(polygon.Contours, polygon.FillRule, limits, cancellation));
                    break;
                case LineShape line:
                    lines.Add(line.Points);
                    break;
                case DotShape dot:
                    dots.Add(dot.Position);
                    break;
                default:
                    CurveOutlines.AddOwn(curved, shape, chordError);
                    curvedShapes.Add(shape);
                    break;
            }
        }

        return new(layer, dose, straight.ToContourSet(), curved.ToContourSet(), curvedShapes.DrainToImmutable(), lines.DrainToImmutable(), dots.DrainToImmutable());
    }
}
