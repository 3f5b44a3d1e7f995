using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>
/// Gathers the points of a polygon, a path or a line, which may go on over any number of lines, and ends the shape when
/// the next statement starts.
/// </summary>
internal sealed class PointList(ValueReader values, DocumentBuilder document)
{
    private readonly List<GridPoint> points = [];
    private StatementWord statement;
    private Arguments given;
    private ContourSetBuilder rings = new();
    private string file = "";
    private KeptLine opening;
    private int openingStart;

    /// <summary>Starts a shape and takes the points on its own line.</summary>
    public void Begin(ref LineScanner scanner, StatementWord word, in Arguments arguments, int start)
    {
        statement = word;
        given = arguments;
        given.Drawn = document.PlaceOf(scanner, word, arguments);
        file = scanner.File;
        opening = new(scanner.Text.ToArray(), scanner.Number);
        openingStart = start;
        TakePoints(ref scanner);
    }

    /// <summary>Takes the points of a further line.</summary>
    public void Continue(ref LineScanner scanner)
    {
        if (statement == StatementWord.None)
        {
            throw scanner.Fault(
                LayoutCodes.BlockStructure,
                "these points belong to no shape",
                scanner.Position,
                "only 'polygon', 'path' and 'line' go on in the next line");
        }

        TakePoints(ref scanner);
    }

    /// <summary>Ends the shape under construction, if there is one.</summary>
    public void Finish()
    {
        if (statement == StatementWord.None)
        {
            return;
        }

        document.Current.Shapes.Add(statement switch
        {
            StatementWord.Polygon => Polygon(),
            StatementWord.Path => new PathShape(given.Layer, given.Dose, Polyline(), given.Width, given.Ends) { Place = given.Drawn },
            _ => new LineShape(given.Layer, given.Dose, Polyline()) { Place = given.Drawn },
        });
        points.Clear();
        statement = StatementWord.None;
    }

    private void TakePoints(ref LineScanner scanner)
    {
        while (!scanner.AtEnd)
        {
            if (scanner.Peek() == '(')
            {
                points.Add(values.TakePoint(ref scanner));
                continue;
            }

            int start = scanner.Position;
            StatementWord word = StatementWords.Find(scanner.TakeWord(withHyphens: true));
            if (word is not (StatementWord.Hole or StatementWord.Part))
            {
                scanner.Position = start;
                throw scanner.Unexpected(statement == StatementWord.Polygon ? "a point, as in (1, 2), 'hole' or 'part'" : "a point, as in (1, 2)");
            }

            if (statement != StatementWord.Polygon)
            {
                throw scanner.Fault(LayoutCodes.Syntax, $"a '{StatementWords.NameOf(statement)}' has no '{StatementWords.NameOf(word)}'", start, "only a polygon has");
            }

            EndRing();
        }
    }

    private PolygonShape Polygon()
    {
        EndRing();
        var shape = new PolygonShape(given.Layer, given.Dose, rings.ToContourSet(), given.Rule) { Place = given.Drawn };
        rings = new();
        return shape;
    }

    private void EndRing()
    {
        if (points.Count < 3)
        {
            throw TooFew("a ring of this polygon", 3);
        }

        rings.AddRing(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(points));
        points.Clear();
    }

    private ImmutableArray<GridPoint> Polyline() =>
        points.Count >= 2 ? [.. points] : throw TooFew($"this {StatementWords.NameOf(statement)}", 2);

    private CompileException TooFew(string what, int needed)
    {
        string found = points.Count switch { 0 => "no point", 1 => "one point", _ => $"{points.Count} points" };
        return new LineScanner(opening.Text, file, opening.Number)
            .Fault(LayoutCodes.EmptyShape, $"{what} has {found} only", openingStart, $"it needs {needed} or more");
    }
}
