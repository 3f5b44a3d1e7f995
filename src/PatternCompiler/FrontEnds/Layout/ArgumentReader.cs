using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Reads the named arguments of a statement, in any order, up to the end of the line or the first point of a list.</summary>
internal sealed class ArgumentReader(ValueReader values, DocumentBuilder document)
{
    // In the order in which they are best tried: the common ones first.
    private static readonly (ArgumentKind Kind, string Word, byte[] Bytes)[] Words =
    [
        .. new (ArgumentKind Kind, string Word)[]
        {
            (ArgumentKind.On, "on"), (ArgumentKind.From, "from"), (ArgumentKind.To, "to"), (ArgumentKind.At, "at"),
            (ArgumentKind.Centre, "centre"), (ArgumentKind.Size, "size"), (ArgumentKind.Radius, "radius"),
            (ArgumentKind.Diameter, "diameter"), (ArgumentKind.Inner, "inner"), (ArgumentKind.Outer, "outer"),
            (ArgumentKind.Width, "width"), (ArgumentKind.Ends, "ends"), (ArgumentKind.Rule, "rule"), (ArgumentKind.Dose, "dose"),
            (ArgumentKind.Rotate, "rotate"), (ArgumentKind.Mirror, "mirror"), (ArgumentKind.Scale, "scale"),
            (ArgumentKind.Columns, "columns"), (ArgumentKind.Rows, "rows"), (ArgumentKind.ColumnStep, "column-step"),
            (ArgumentKind.RowStep, "row-step"), (ArgumentKind.ColumnDose, "column-dose"), (ArgumentKind.RowDose, "row-dose"),
            (ArgumentKind.Height, "height"), (ArgumentKind.Align, "align"), (ArgumentKind.Drawn, "drawn"),
        }.Select(entry => (entry.Kind, entry.Word, Encoding.UTF8.GetBytes(entry.Word))),
    ];

    /// <summary>The word of an argument.</summary>
    public static string WordOf(ArgumentKind kind) => Array.Find(Words, entry => entry.Kind == kind).Word;

    /// <summary>Reads the arguments that a statement allows.</summary>
    public Arguments Read(ref LineScanner scanner, string statement, ArgumentKind allowed)
    {
        Arguments arguments = Arguments.Defaults;
        while (!scanner.AtEnd && scanner.Peek() != '(')
        {
            int start = scanner.Position;
            ArgumentKind kind = TakeKind(ref scanner, statement, allowed);
            if (arguments.Has(kind))
            {
                throw scanner.Fault(LayoutCodes.ConflictingArguments, $"'{WordOf(kind)}' is given twice", start, "keep one of them");
            }

            arguments.Given |= kind;
            TakeValue(ref scanner, kind, ref arguments);
        }

        return arguments;
    }

    private static ArgumentKind TakeKind(ref LineScanner scanner, string statement, ArgumentKind allowed)
    {
        int start = scanner.Position;
        ReadOnlySpan<byte> word = scanner.TakeWord(withHyphens: true);
        if (word.Length == 0)
        {
            throw scanner.Unexpected($"an argument of '{statement}' ({List(allowed)})");
        }

        foreach ((ArgumentKind kind, _, byte[] bytes) in Words)
        {
            if ((kind & allowed) != 0 && word.SequenceEqual(bytes))
            {
                return kind;
            }
        }

        string written = Encoding.UTF8.GetString(word);
        if (LengthUnit.TryFind(word, out _))
        {
            throw scanner.Fault(LayoutCodes.Syntax, $"the unit '{written}' follows no number", start, $"write it after each number, as in (1 {written}, 2 {written})");
        }

        string? nearest = NearestWord.Find(written, Words.Where(entry => (entry.Kind & allowed) != 0).Select(entry => entry.Word));
        throw scanner.Fault(
            LayoutCodes.UnknownArgument,
            $"'{statement}' has no argument '{written}'",
            start,
            nearest is null ? $"it takes {List(allowed)}" : $"did you mean '{nearest}'?");
    }

    // Nobody writes 'drawn' by hand.
    private static string List(ArgumentKind allowed) =>
        string.Join(", ", Words.Where(entry => (entry.Kind & allowed & ~ArgumentKind.Drawn) != 0).Select(entry => entry.Word));

    private void TakeValue(ref LineScanner scanner, ArgumentKind kind, ref Arguments arguments)
    {
        switch (kind)
        {
            case ArgumentKind.On: arguments.Layer = document.TakeLayer(ref scanner); break;
            case ArgumentKind.From: arguments.From = values.TakePoint(ref scanner); break;
            case ArgumentKind.To: arguments.To = values.TakePoint(ref scanner); break;
            case ArgumentKind.At: arguments.At = values.TakePoint(ref scanner); break;
            case ArgumentKind.Centre: arguments.Centre = values.TakePoint(ref scanner); break;
            case ArgumentKind.Size: arguments.Size = TakeSize(ref scanner); break;
            case ArgumentKind.Radius: arguments.Radius = values.TakePositiveLength(ref scanner, "the radius"); break;
            case ArgumentKind.Diameter: arguments.Radius = values.TakeHalfLength(ref scanner, "the radius"); break;
            case ArgumentKind.Inner: arguments.Inner = values.TakePositiveLength(ref scanner, "the inner radius"); break;
            case ArgumentKind.Outer: arguments.Outer = values.TakePositiveLength(ref scanner, "the outer radius"); break;
            case ArgumentKind.Width: arguments.Width = values.TakePositiveLength(ref scanner, "the width"); break;
            case ArgumentKind.Height: arguments.Height = values.TakePositiveLength(ref scanner, "the height"); break;
            case ArgumentKind.Dose: arguments.Dose = values.TakeDose(ref scanner); break;
            case ArgumentKind.Rotate: arguments.Rotate = values.TakeReal(ref scanner, "an angle (in degrees)"); break;
            case ArgumentKind.Scale: (arguments.ScaleX, arguments.ScaleY) = values.TakeScale(ref scanner); break;
            case ArgumentKind.Columns: arguments.Columns = values.TakeCount(ref scanner, "the number of columns", 1); break;
            case ArgumentKind.Rows: arguments.Rows = values.TakeCount(ref scanner, "the number of rows", 1); break;
            case ArgumentKind.ColumnStep: arguments.ColumnStep = values.TakeStep(ref scanner, alongX: true); break;
            case ArgumentKind.RowStep: arguments.RowStep = values.TakeStep(ref scanner, alongX: false); break;
            case ArgumentKind.ColumnDose: arguments.ColumnDose = values.TakeDoseStep(ref scanner); break;
            case ArgumentKind.RowDose: arguments.RowDose = values.TakeDoseStep(ref scanner); break;
            case ArgumentKind.Ends: arguments.Ends = (PathEnd)TakeChoice(ref scanner, "flat", "square", "round"); break;
            case ArgumentKind.Rule: arguments.Rule = (FillRule)TakeChoice(ref scanner, "nonzero", "evenodd", "positive"); break;
            case ArgumentKind.Align: arguments.Align = (TextAlignment)TakeChoice(ref scanner, "left", "centre", "right"); break;
            case ArgumentKind.Drawn: (arguments.Drawn, arguments.Element) = document.Places.Take(ref scanner); break;
            case ArgumentKind.Mirror: TakeMirror(ref scanner, ref arguments); break;
            default: throw new InvalidOperationException($"No reader for the argument {kind}.");
        }
    }

    private GridPoint TakeSize(ref LineScanner scanner)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        GridPoint size = values.TakePoint(ref scanner);
        return size.X > 0 && size.Y > 0
            ? size
            : throw scanner.Fault(LayoutCodes.EmptyShape, $"width and height are one grid step ({values.GridText}) or more", start);
    }

    private static void TakeMirror(ref LineScanner scanner, ref Arguments arguments)
    {
        if (TakeChoice(ref scanner, "left-right", "up-down") == 0)
        {
            arguments.MirrorsLeftRight = true;
        }
        else
        {
            arguments.MirrorsUpDown = true;
        }
    }

    private static int TakeChoice(ref LineScanner scanner, params ReadOnlySpan<string> choices)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        string word = Encoding.UTF8.GetString(scanner.TakeWord(withHyphens: true));
        int index = choices.IndexOf(word);
        if (index >= 0)
        {
            return index;
        }

        scanner.Position = start;
        throw scanner.Unexpected(string.Join(", ", choices[..^1].ToArray()) + " or " + choices[^1]);
    }
}
