using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Places;

/// <summary>
/// Asks a drawing what was drawn at a point: goes down its cells by the boxes around them, and through the arrays by arithmetic.
/// Every shape that covers the point counts, in drawing order; where none does, because edges were moved, the nearest.
/// </summary>
internal sealed class PlaceSearch(DrawnPattern drawing)
{
    // Each placement rounds corners to the grid, and curves to chords: an edge may lie this much beside its figure.
    private const double Rounding = 2;
    private const int MostHits = 1000;

    // Copies without end may lie on each other; then what was found so far is told. Shapes looked at count, and a copy as one.
    private const long MostVisits = 20_000_000;
    private const int DeepestNesting = 1000;
    private const int MostCallers = 3;

    private readonly CellBoxes cells = new(drawing.Layout);
    private readonly List<Caller> callers = [];
    private readonly List<(SourcePlace Place, string? Layer)> covering = [];
    private (SourcePlace Place, string? Layer)? nearestPlace;
    private double nearest;
    private long visits;
    private bool[] layers = [];
    private FigureKind? kind;

    /// <summary>What was drawn at a point.</summary>
    /// <param name="xNanometres">The point in the pattern.</param>
    /// <param name="yNanometres">As <paramref name="xNanometres"/>.</param>
    /// <param name="layer">Layer of the pattern; null if it is not known.</param>
    /// <param name="figure">Area, line or dot; null if it is not known.</param>
    public DrawnHere At(double xNanometres, double yNanometres, string? layer, FigureKind? figure)
    {
        double steps = 1000.0 / drawing.Layout.GridPicometres;
        var point = new PlanePoint(xNanometres * steps, yNanometres * steps);
        layers = drawing.LayersBehind(layer);
        kind = figure;
        DrawnHere found = Search(point);
        if (found.Places.Count == 0 && figure is not null)
        {
            kind = null;
            found = Search(point);
        }

        return found;
    }

    private DrawnHere Search(PlanePoint point)
    {
        covering.Clear();
        nearestPlace = null;
        nearest = double.PositiveInfinity;
        visits = 0;
        Visit(cells[drawing.Layout.TopCell], point, 1);
        return covering.Count > 0 ? new([.. covering], IsNear: false) : new(nearestPlace is { } near ? [near] : [], IsNear: nearest > Rounding);
    }

    private void Visit(Cell cell, PlanePoint point, double scale)
    {
        if (callers.Count == DeepestNesting)
        {
            return;
        }

        visits += 1 + cell.Shapes.Length;
        foreach (Shape shape in cell.Shapes)
        {
            if (layers[shape.Layer] && IsOfKind(shape))
            {
                See(shape, point, scale);
            }
        }

        foreach (Instance instance in cell.Instances)
        {
            foreach ((int column, int row) in ArrayCopies.Near(cells.FirstCopy(instance), instance.Repetition, point, () => Reach / scale))
            {
                Affine map = CopyPlacement.Of(instance, column, row);
                callers.Add(new(instance, column, row));
                Visit(cells[instance.CellName], Undo(map, point), scale * map.LargestStretch);
                callers.RemoveAt(callers.Count - 1);
                if (covering.Count == MostHits || visits > MostVisits)
                {
                    return;
                }
            }
        }
    }

    // Once something covers the point, only what covers it counts.
    private double Reach => covering.Count > 0 ? Rounding : nearest;

    private void See(Shape shape, PlanePoint point, double scale)
    {
        if (scale * LowerBound(shape, point) > Reach || covering.Count == MostHits)
        {
            return;
        }

        double distance = scale * ShapeDistance.Of(shape, point);
        bool isCovering = distance == 0 || (distance <= Rounding && shape is LineShape or DotShape);
        if (!isCovering && (covering.Count > 0 || distance >= nearest))
        {
            return;
        }

        foreach ((SourcePlace place, string? layer) in PlacesOf(shape, point))
        {
            if (isCovering && covering.Count < MostHits)
            {
                covering.Add((place, layer));
            }
            else if (!isCovering)
            {
                nearest = distance;
                nearestPlace = (place, layer);
                break;
            }
        }
    }

    private IEnumerable<(SourcePlace Place, string? Layer)> PlacesOf(Shape shape, PlanePoint point)
    {
        PlaceTable places = drawing.Layout.Places;
        IEnumerable<PlaceId> drawn = [shape.Place];
        if (places.RingsOf(shape.Place) is { } rings && shape is PolygonShape polygon)
        {
            // The outlines around the point; where none is, any.
            int[] around = [.. Enumerable.Range(0, Math.Min(rings.Count, polygon.Contours.Count)).Where(i => ShapeDistance.IsInside(polygon.Contours[i], point))];
            drawn = around.Length > 0 ? around.Select(i => rings[i]) : rings.Take(1);
        }

        foreach (PlaceId place in drawn)
        {
            if (places.Find(place) is SourcePlace found)
            {
                yield return (found with { Entity = found.Entity + Callers() }, places.WordOf(place)?.Layer);
            }
        }
    }

    // From the cell that the shape stands in outwards.
    private string Callers()
    {
        string text = "";
        int named = 0;
        int more = 0;
        for (int i = callers.Count - 1; i >= 0; i--)
        {
            (Instance instance, int column, int row) = callers[i];
            if (drawing.Layout.Places.Find(instance.Place) is not SourcePlace place)
            {
                continue;
            }

            if (named++ == MostCallers)
            {
                more++;
                named--;
                continue;
            }

            text += $", placed by {place.Entity}{(place.Line > 0 ? $" in line {place.Line}" : "")}{Element(instance, column, row)}";
        }

        return more == 0 ? text : $"{text}, and {more} more";
    }

    private static string Element(Instance instance, int column, int row)
    {
        int inColumn = instance.Repetition.Columns > 1 ? column + 1 : instance.Element.Column;
        int inRow = instance.Repetition.Rows > 1 ? row + 1 : instance.Element.Row;
        return (inColumn, inRow) switch
        {
            (> 0, > 0) => $" (column {inColumn}, row {inRow})",
            (> 0, _) => $" (column {inColumn})",
            (_, > 0) => $" (row {inRow})",
            _ => "",
        };
    }

    private bool IsOfKind(Shape shape) => kind switch
    {
        FigureKind.Line => shape is LineShape,
        FigureKind.Dot => shape is DotShape,
        FigureKind.Trapezoid => shape is not (LineShape or DotShape),
        _ => true,
    };

    private static double LowerBound(Shape shape, PlanePoint point) => shape switch
    {
        // Mitres reach beyond the points by the limit of their length at most.
        PathShape p => Math.Max(0, ShapeDistance.OfBox(BoxOf(p.Points.AsSpan()), point) - (StrokeStyle.UsualMitreLimit * p.Width)),
        LineShape l => ShapeDistance.OfBox(BoxOf(l.Points.AsSpan()), point),
        PolygonShape p => ShapeDistance.OfBox(BoxOf(p.Contours.Points), point),
        _ => 0,
    };

    private static LayoutExtent BoxOf(ReadOnlySpan<Geometry.GridPoint> points)
    {
        LayoutExtent box = LayoutExtent.Nothing;
        foreach (Geometry.GridPoint point in points)
        {
            box = box.With(new(point.X, point.Y, point.X, point.Y));
        }

        return box;
    }

    private static PlanePoint Undo(in Affine map, PlanePoint point)
    {
        double area = (map.XX * map.YY) - (map.XY * map.YX);
        double x = point.X - map.X;
        double y = point.Y - map.Y;
        return new(((map.YY * x) - (map.XY * y)) / area, ((map.XX * y) - (map.YX * x)) / area);
    }

    private readonly record struct Caller(Instance Instance, int Column, int Row);
}

/// <summary>What was drawn at a point.</summary>
/// <param name="Places">Where, in drawing order, each with the name of its layer in its drawing.</param>
/// <param name="IsNear">Nothing covers the point; the place is that of the nearest shape.</param>
internal readonly record struct DrawnHere(IReadOnlyList<(SourcePlace Place, string? Layer)> Places, bool IsNear);
