using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Reads the statements that draw.</summary>
internal sealed class ShapeReader(ArgumentReader arguments, ValueReader values, DocumentBuilder document, WorkLimits limits)
{
    private const ArgumentKind Common = ArgumentKind.On | ArgumentKind.Dose | ArgumentKind.Drawn;

    private readonly PointList points = new(values, document);
    private readonly LetteringReader lettering = new(values, limits);

    /// <summary>Reads the rest of a line that opens a shape.</summary>
    public void Read(ref LineScanner scanner, StatementWord statement, int start)
    {
        string word = StatementWords.NameOf(statement);
        string? letters = statement == StatementWord.Text ? scanner.TakeQuoted("the text in quotes") : null;
        Arguments given = arguments.Read(ref scanner, word, AllowedBy(statement));
        given.Require(scanner, word, ArgumentKind.On, "on LAYER");
        if (statement is StatementWord.Polygon or StatementWord.Path or StatementWord.Line)
        {
            if (statement == StatementWord.Path)
            {
                given.Require(scanner, word, ArgumentKind.Width, "width 0.5 um");
            }

            points.Begin(ref scanner, statement, given, start);
            return;
        }

        scanner.ExpectEnd($"the arguments of '{word}'");
        if (letters is not null)
        {
            given.Drawn = document.PlaceOf(scanner, statement, given);
            document.Current.Shapes.AddRange(lettering.Draw(scanner, letters, given, start));
            return;
        }

        given.Drawn = document.PlaceOf(scanner, statement, given);
        document.Current.Shapes.Add(statement switch
        {
            StatementWord.Rect => Rectangle(scanner, given, start),
            StatementWord.Circle => Circle(scanner, given),
            StatementWord.Ring => Ring(scanner, given, start),
            _ => Dot(scanner, given),
        });
    }

    /// <summary>Reads a line that goes on with the points of the shape above it.</summary>
    public void Continue(ref LineScanner scanner) => points.Continue(ref scanner);

    /// <summary>Ends a shape whose points may have gone on over several lines.</summary>
    public void Finish() => points.Finish();

    private static ArgumentKind AllowedBy(StatementWord statement) => Common | statement switch
    {
        StatementWord.Rect => ArgumentKind.From | ArgumentKind.To | ArgumentKind.At | ArgumentKind.Centre | ArgumentKind.Size,
        StatementWord.Polygon => ArgumentKind.Rule,
        StatementWord.Circle => ArgumentKind.At | ArgumentKind.Radius | ArgumentKind.Diameter,
        StatementWord.Ring => ArgumentKind.At | ArgumentKind.Inner | ArgumentKind.Outer,
        StatementWord.Path => ArgumentKind.Width | ArgumentKind.Ends,
        StatementWord.Dot => ArgumentKind.At,
        StatementWord.Text => ArgumentKind.At | ArgumentKind.Height | ArgumentKind.Width | ArgumentKind.Ends | ArgumentKind.Align,
        _ => ArgumentKind.None,
    };

    private RectangleShape Rectangle(in LineScanner scanner, in Arguments given, int start)
    {
        GridPoint a;
        GridPoint b;
        if (given.Has(ArgumentKind.From | ArgumentKind.To))
        {
            given.Require(scanner, "rect", ArgumentKind.From, "from (0, 0)");
            given.Require(scanner, "rect", ArgumentKind.To, "to (10, 5)");
            given.Exclude(scanner, ArgumentKind.From, ArgumentKind.Size);
            given.Exclude(scanner, ArgumentKind.From, ArgumentKind.At);
            given.Exclude(scanner, ArgumentKind.From, ArgumentKind.Centre);
            (a, b) = (given.From, given.To);
        }
        else
        {
            given.Exclude(scanner, ArgumentKind.At, ArgumentKind.Centre);
            if (!given.Has(ArgumentKind.At | ArgumentKind.Centre | ArgumentKind.Size))
            {
                throw scanner.Fault(
                    LayoutCodes.MissingArgument,
                    "'rect' needs two corners, or one corner or its centre with a size",
                    scanner.Position,
                    "add for example: from (0, 0) to (10, 5)");
            }

            given.Require(scanner, "rect", ArgumentKind.Size, "size (10, 5)");
            if (!given.Has(ArgumentKind.Centre))
            {
                given.Require(scanner, "rect", ArgumentKind.At, "at (0, 0)");
            }

            GridPoint size = given.Size;
            a = given.Has(ArgumentKind.At) ? given.At : new(given.Centre.X - (size.X / 2), given.Centre.Y - (size.Y / 2));
            b = new(a.X + size.X, a.Y + size.Y);
            if (!a.IsInRange || !b.IsInRange)
            {
                throw values.BeyondGrid(scanner, start, "this rectangle");
            }
        }

        if (a.X == b.X || a.Y == b.Y)
        {
            throw scanner.Fault(
                LayoutCodes.EmptyShape,
                $"this rectangle has no {(a.X == b.X ? "width" : "height")} on the grid of {values.GridText}",
                start,
                "draw a 'line' if a single pass of the beam is meant");
        }

        return new(given.Layer, given.Dose, Math.Min(a.X, b.X), Math.Min(a.Y, b.Y), Math.Max(a.X, b.X), Math.Max(a.Y, b.Y)) { Place = given.Drawn };
    }

    private static CircleShape Circle(in LineScanner scanner, in Arguments given)
    {
        given.Require(scanner, "circle", ArgumentKind.At, "at (0, 0)");
        given.Exclude(scanner, ArgumentKind.Radius, ArgumentKind.Diameter);
        if (!given.Has(ArgumentKind.Diameter))
        {
            given.Require(scanner, "circle", ArgumentKind.Radius, "radius 2 um");
        }

        return new(given.Layer, given.Dose, given.At, given.Radius) { Place = given.Drawn };
    }

    private static RingShape Ring(in LineScanner scanner, in Arguments given, int start)
    {
        given.Require(scanner, "ring", ArgumentKind.At, "at (0, 0)");
        given.Require(scanner, "ring", ArgumentKind.Inner, "inner 2 um");
        given.Require(scanner, "ring", ArgumentKind.Outer, "outer 3 um");
        return given.Inner < given.Outer
            ? new(given.Layer, given.Dose, given.At, given.Inner, given.Outer) { Place = given.Drawn }
            : throw scanner.Fault(LayoutCodes.EmptyShape, "the inner radius of this ring is not below its outer radius", start, "exchange the two");
    }

    private static DotShape Dot(in LineScanner scanner, in Arguments given)
    {
        given.Require(scanner, "dot", ArgumentKind.At, "at (0, 0)");
        return new(given.Layer, given.Dose, given.At) { Place = given.Drawn };
    }
}
