using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Where the shapes of a text layout were drawn: in its own lines, or elsewhere, where its statements say so by <c>drawn</c>.</summary>
internal sealed class PlaceColumn
{
    private const char BetweenParts = '/';
    private const char BetweenRings = '+';

    // Words and names as the file numbers them; the table has further ones of its own.
    private readonly List<int> words = [];
    private readonly List<int> names = [];

    /// <summary>What the places mean.</summary>
    public PlaceTable Table { get; } = new();

    /// <summary>The place of a statement of the layout.</summary>
    public PlaceId InLine(string file, int line, StatementWord statement, string? layer) =>
        Table.At(Table.NumberOf(new(file, StatementWords.NameOf(statement), null, layer, PlaceNumber.None)), line);

    /// <summary>Reads the rest of <c>origin</c>: what many shapes share that were drawn elsewhere.</summary>
    public void ReadOrigin(ref LineScanner scanner)
    {
        string file = scanner.TakeQuoted("the name of the drawing in quotes");
        string kind = scanner.TakeQuoted("what was drawn, in quotes");
        string? cell = null;
        string? layer = null;
        PlaceNumber number = PlaceNumber.None;
        while (!scanner.AtEnd)
        {
            int start = scanner.Position;
            string word = Encoding.UTF8.GetString(scanner.TakeWord(withHyphens: true));
            switch (word)
            {
                case "cell":
                    cell = scanner.TakeQuoted("the name of a cell in quotes");
                    break;
                case "layer":
                    layer = scanner.TakeQuoted("the name of a layer in quotes");
                    break;
                default:
                    number = Enum.GetValues<PlaceNumber>().FirstOrDefault(kindOfNumber => PlaceText.WordOf(kindOfNumber) == word);
                    if (number == PlaceNumber.None)
                    {
                        scanner.Position = start;
                        throw scanner.Unexpected("cell, layer, handle, name, column, element or byte");
                    }

                    break;
            }
        }

        words.Add(Table.NumberOf(new(file == PlaceText.NoFile ? null : file, kind, cell, layer, number)));
    }

    /// <summary>Reads the rest of <c>named</c>: a name that places give by its number.</summary>
    public void ReadName(ref LineScanner scanner) => names.Add(Table.AddName(scanner.TakeQuoted("a name in quotes")));

    /// <summary>Reads the value of <c>drawn</c>: <c>ORIGIN/LINE/NUMBER</c>, for the rings of a polygon with a plus between them,
    /// for an element of an array that is written out <c>ORIGIN/LINE/NUMBER/COLUMN/ROW</c>.</summary>
    public (PlaceId Place, ArrayElement Element) Take(ref LineScanner scanner)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        string text = scanner.TakeName("where it was drawn, as in 1/20/0");
        var rings = new List<PlaceId>();
        ArrayElement element = default;
        foreach (string ring in text.Split(BetweenRings))
        {
            string[] parts = ring.Split(BetweenParts);
            if (parts.Length is not (3 or 5)
                || !int.TryParse(parts[0], NumberStyles.None, CultureInfo.InvariantCulture, out int word)
                || !int.TryParse(parts[1], NumberStyles.None, CultureInfo.InvariantCulture, out int line)
                || !ulong.TryParse(parts[2], NumberStyles.None, CultureInfo.InvariantCulture, out ulong number)
                || word > words.Count
                || !TryElement(parts, ref element))
            {
                throw scanner.Fault(LayoutCodes.Syntax, $"'{text}' is no place", start, "a place is ORIGIN/LINE/NUMBER, with the number of an 'origin' line above");
            }

            rings.Add(word == 0 ? default : PlaceOf(scanner, start, word, line, number));
        }

        return (rings.Count == 1 ? rings[0] : Table.Fuse([.. rings]), element);
    }

    private static bool TryElement(string[] parts, ref ArrayElement element)
    {
        if (parts.Length == 3)
        {
            return true;
        }

        bool isElement = int.TryParse(parts[3], NumberStyles.None, CultureInfo.InvariantCulture, out int column)
            & int.TryParse(parts[4], NumberStyles.None, CultureInfo.InvariantCulture, out int row);
        element = new(column, row);
        return isElement;
    }

    private PlaceId PlaceOf(in LineScanner scanner, int start, int word, int line, ulong number)
    {
        if (Table.Words[words[word - 1] - 1].Number != PlaceNumber.Name)
        {
            return Table.At(words[word - 1], line, number);
        }

        return number >= 1 && number <= (ulong)names.Count
            ? Table.At(words[word - 1], line, (ulong)names[(int)number - 1])
            : throw scanner.Fault(LayoutCodes.Syntax, $"there is no name {number}", start, "a 'named' line above gives each name");
    }
}
