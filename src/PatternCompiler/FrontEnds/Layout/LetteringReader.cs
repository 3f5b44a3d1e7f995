using System.Collections.Immutable;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Lettering;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Turns <c>text</c> into paths, or into lines if it has no width.</summary>
internal sealed class LetteringReader(ValueReader values, WorkLimits limits)
{
    // A letter is several strokes.
    private const int StatementsPerLetter = 4;

    private long letters;

    /// <summary>The strokes of a text.</summary>
    public IEnumerable<Shape> Draw(in LineScanner scanner, string text, in Arguments given, int start)
    {
        given.Require(scanner, "text", ArgumentKind.At, "at (0, 0)");
        given.Require(scanner, "text", ArgumentKind.Height, "height 5 um");
        if (given.Height < StrokeLettering.CapHeight)
        {
            string least = LengthText.Nanometres(StrokeLettering.CapHeight * values.GridPicometres);
            throw scanner.Fault(LayoutCodes.EmptyShape, $"letters are at least {StrokeLettering.CapHeight} grid steps ({least}) high", start);
        }

        int strange = text.AsSpan().IndexOfAnyExcept(StrokeLettering.Characters.Add('\n').AsSpan());
        if (strange >= 0)
        {
            throw scanner.Fault(
                LayoutCodes.OutOfRange,
                $"there is no letter for '{text[strange]}'",
                start,
                "letters are those of ASCII and \u00B5 \u00B2 \u00B1 \u00B0 \u00B7 \u00D7");
        }

        letters += text.Length;
        long most = limits[WorkKind.Expansion] / StatementsPerLetter;
        if (letters > most)
        {
            throw scanner.Fault(LayoutCodes.TooMuch, $"more than {most} letters are drawn", start, "make the text a cell and place that in an array; or raise 'limits: expansion' in the job");
        }

        Arguments arguments = given;
        try
        {
            return [.. Strokes(text, arguments).Select(Shape (points) => arguments.Has(ArgumentKind.Width)
                ? new PathShape(arguments.Layer, arguments.Dose, points, arguments.Width, arguments.Ends) { Place = arguments.Drawn }
                : new LineShape(arguments.Layer, arguments.Dose, points) { Place = arguments.Drawn })];
        }
        catch (ArgumentOutOfRangeException)
        {
            throw values.BeyondGrid(scanner, start, "this text");
        }
    }

    private static IEnumerable<ImmutableArray<GridPoint>> Strokes(string text, Arguments given)
    {
        string[] lines = text.Split('\n');
        for (int i = 0; i < lines.Length; i++)
        {
            long width = (long)StrokeLettering.MeasureWidth(lines[i]) * given.Height / StrokeLettering.CapHeight;
            long left = given.Align switch
            {
                TextAlignment.Left => given.At.X,
                TextAlignment.Centre => given.At.X - (width / 2),
                _ => given.At.X - width,
            };
            long baseline = given.At.Y - ((long)i * StrokeLettering.LineSpacing * given.Height / StrokeLettering.CapHeight);
            ArgumentOutOfRangeException.ThrowIfGreaterThan(Math.Abs(left), GridPoint.Limit);
            ArgumentOutOfRangeException.ThrowIfGreaterThan(Math.Abs(baseline), GridPoint.Limit);
            foreach (ImmutableArray<GridPoint> stroke in StrokeLettering.Layout(lines[i], new((int)left, (int)baseline), given.Height))
            {
                yield return stroke;
            }
        }
    }
}

/// <summary>Which part of a line of lettering stands at the given point.</summary>
internal enum TextAlignment
{
    /// <summary>Its left end.</summary>
    Left,

    /// <summary>Its middle.</summary>
    Centre,

    /// <summary>Its right end.</summary>
    Right,
}
