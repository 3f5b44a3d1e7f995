using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Flatten;

/// <summary>Knows which layers are chosen, and counts shapes and their points.</summary>
internal sealed class ShapeCensus
{
    private readonly ImmutableArray<string> layers;
    private readonly bool[] isChosen;
    private readonly double chordError;

    /// <summary>Resolves the chosen names; fails on one that the drawing does not have.</summary>
    public ShapeCensus(ImmutableArray<string> layers, ImmutableArray<string>? chosen, double chordError)
    {
        this.layers = layers;
        this.chordError = chordError;
        isChosen = new bool[layers.Length];
        if (chosen is not ImmutableArray<string> names)
        {
            Array.Fill(isChosen, true);
            return;
        }

        foreach (string name in names)
        {
            int index = layers.IndexOf(name);
            isChosen[index >= 0 ? index : throw UnknownLayer(name)] = true;
        }
    }

    /// <summary>True if the shape's layer is chosen.</summary>
    public bool Keeps(Shape shape) => isChosen[shape.Layer];

    /// <summary>Name of a shape's layer.</summary>
    public string LayerName(Shape shape) => layers[shape.Layer];

    /// <summary>Points of the chosen shapes of a cell itself, curves as polygons; and those of all its shapes as they are drawn.</summary>
    public (double Chosen, int Drawn) PointsOf(Cell cell)
    {
        double sum = 0;
        int drawn = 0;
        foreach (Shape shape in cell.Shapes)
        {
            sum += Keeps(shape) ? PointsOf(shape) : 0;
            drawn += PointsDrawn(shape);
        }

        return (sum, drawn);
    }

    /// <summary>Fails if the used cells draw nothing on the chosen layers.</summary>
    public void RequireShapes(IEnumerable<Cell> cells)
    {
        var counts = new long[layers.Length];
        foreach (Shape shape in cells.SelectMany(cell => cell.Shapes))
        {
            if (Keeps(shape))
            {
                return;
            }

            counts[shape.Layer]++;
        }

        string[] filled = [.. layers.Where((_, index) => counts[index] > 0).Select(name => $"'{name}'")];
        throw filled.Length == 0
            ? new CompileException(HierarchyCodes.NothingDrawn, "the drawing is empty", fix: "check that it was exported with its shapes")
            : new CompileException(
                HierarchyCodes.NothingDrawn,
                $"nothing is drawn on {ListChosen()}",
                fix: $"shapes are on {string.Join(", ", filled)}");
    }

    private string ListChosen()
    {
        string[] chosen = [.. layers.Where((_, index) => isChosen[index]).Select(name => $"'{name}'")];
        return chosen.Length == 0 ? "the chosen layers" : $"{CountText.Word(chosen.Length, "layer", "layers")} {string.Join(", ", chosen)}";
    }

    private CompileException UnknownLayer(string name)
    {
        string? nearest = NearestWord.Find(name, layers);
        string hint = nearest is null ? "" : $", did you mean '{nearest}'?";
        return new(
            HierarchyCodes.UnknownLayer,
            $"the drawing has no layer '{name}'{hint}",
            fix: layers.IsEmpty ? "it has no layers at all" : $"its layers are {string.Join(", ", layers.Select(layer => $"'{layer}'"))}");
    }

    private double PointsOf(Shape shape) => shape switch
    {
        PolygonShape polygon => polygon.Contours.PointCount,
        CircleShape circle => PointsOfCircle(circle.Radius),
        RingShape ring => PointsOfCircle(ring.InnerRadius) + PointsOfCircle(ring.OuterRadius),
        PathShape path => (2.0 * path.Points.Length) + (path.End == PathEnd.Round ? PointsOfCircle(path.Width / 2.0) : 0),
        LineShape line => line.Points.Length,
        DotShape => 1,
        _ => 4,
    };

    private static int PointsDrawn(Shape shape) => shape switch
    {
        PolygonShape polygon => polygon.Contours.PointCount,
        PathShape path => path.Points.Length,
        LineShape line => line.Points.Length,
        _ => 1,
    };

    private int PointsOfCircle(double radius) => ArcFlattening.SegmentCount(radius, 2 * Math.PI, chordError);
}
