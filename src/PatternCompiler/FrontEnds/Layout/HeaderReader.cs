using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Reads the lines that describe the whole document: version, unit, grid, name of the drawing, whether it is placed, layers.</summary>
internal sealed class HeaderReader(ValueReader values, DocumentBuilder document)
{
    private const long LargestGridPicometres = 1_000_000_000;

    private bool isMain = true;
    private bool isHead = true;
    private bool hasUnit;
    private bool hasGrid;

    /// <summary>Starts a file, the main one or an included one.</summary>
    public void BeginFile(bool isMain)
    {
        this.isMain = isMain;
        isHead = true;
        hasUnit = false;
        values.DefaultUnitPicometres = 0;
    }

    /// <summary>Allows no more of the lines that come first.</summary>
    public void EndHead() => isHead = false;

    /// <summary>Reads <c>layout 1</c>.</summary>
    public static void ReadFirstLine(ref LineScanner scanner)
    {
        if (!scanner.TakeWord(withHyphens: false).SequenceEqual("layout"u8))
        {
            throw scanner.Fault(LayoutCodes.NotALayout, "this is not a text layout", 0, "a text layout starts with the line: layout 1");
        }

        _ = scanner.AtEnd;
        int start = scanner.Position;
        string version = scanner.TakeName("the version of the language, 1");
        if (version != "1")
        {
            throw scanner.Fault(LayoutCodes.NotALayout, $"version {version} of the text layout is not known", start, "this program reads version 1");
        }

        scanner.ExpectEnd("the version");
    }

    /// <summary>Reads one of the other lines.</summary>
    /// <param name="scanner">Stands after the word.</param>
    /// <param name="statement">The word.</param>
    /// <param name="start">Where the word stands.</param>
    /// <param name="isLate">True if a parameter or a block came before.</param>
    public void Read(ref LineScanner scanner, StatementWord statement, int start, bool isLate)
    {
        if (statement == StatementWord.Layout)
        {
            throw scanner.Fault(LayoutCodes.Misplaced, "'layout' stands in the first line only", start, "remove this line");
        }

        if (statement == StatementWord.Layer)
        {
            document.DeclareLayer(scanner.TakeName("the name of the layer"));
        }
        else if (statement == StatementWord.Origin)
        {
            document.Places.ReadOrigin(ref scanner);
        }
        else if (statement == StatementWord.Named)
        {
            document.Places.ReadName(ref scanner);
        }
        else
        {
            if (!isHead || (isMain && (isLate || document.HasContent)))
            {
                string name = StatementWords.NameOf(statement);
                throw scanner.Fault(LayoutCodes.Misplaced, $"'{name}' comes too late", start, "move it up, before the first layer, parameter, cell and shape");
            }

            ReadEarly(ref scanner, statement, start);
        }

        scanner.ExpectEnd($"'{StatementWords.NameOf(statement)}'");
    }

    private void ReadEarly(ref LineScanner scanner, StatementWord statement, int start)
    {
        switch (statement)
        {
            case StatementWord.Unit:
                RequireFirst(scanner, ref hasUnit, "unit", start);
                ReadUnit(ref scanner);
                break;
            case StatementWord.Grid when isMain:
                RequireFirst(scanner, ref hasGrid, "grid", start);
                values.GridPicometres = TakeGrid(ref scanner);
                break;
            case StatementWord.Grid:
                if (TakeGrid(ref scanner) != values.GridPicometres)
                {
                    throw scanner.Fault(
                        LayoutCodes.Include,
                        "this grid differs from that of the drawing that includes the file",
                        start,
                        $"write: grid {values.GridText}");
                }

                break;
            case StatementWord.Placed:
                document.IsPlaced |= isMain;
                break;
            default:
                string name = scanner.TakeName("the name of the drawing");
                document.DrawingName = isMain ? name : document.DrawingName;
                break;
        }
    }

    private static void RequireFirst(in LineScanner scanner, ref bool isGiven, string word, int start)
    {
        if (isGiven)
        {
            throw scanner.Fault(LayoutCodes.Misplaced, $"'{word}' is given twice", start, "keep one of them");
        }

        isGiven = true;
    }

    private void ReadUnit(ref LineScanner scanner)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        if (!LengthUnit.TryFind(scanner.TakeWord(withHyphens: false), out long picometres))
        {
            scanner.Position = start;
            throw scanner.Unexpected($"a unit of length ({LengthUnit.Names})");
        }

        values.DefaultUnitPicometres = picometres;
    }

    private long TakeGrid(ref LineScanner scanner)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        var formula = new Formula(values.Scope, values.DefaultUnitPicometres);
        decimal picometres = formula.TakeLength(ref scanner);
        return picometres is >= 1 and <= LargestGridPicometres && picometres == Math.Truncate(picometres)
            ? (long)picometres
            : throw scanner.Fault(
                LayoutCodes.OutOfRange,
                $"a grid step is a whole number of picometres, from {LengthText.Nanometres(1)} to {LengthText.Nanometres(LargestGridPicometres)}",
                start);
    }
}
