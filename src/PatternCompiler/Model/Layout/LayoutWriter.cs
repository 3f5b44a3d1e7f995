using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Units;

namespace PatternCompiler.Model.Layout;

/// <summary>
/// Prints a layout in the canonical form of the text layout: lengths in micrometres, arguments in one order, defaults
/// left out, parameters and repeats resolved. Reading what it printed and printing again gives the same bytes.
/// </summary>
internal static class LayoutWriter
{
    /// <summary>Name of a drawing that gives none.</summary>
    public const string DefaultDrawingName = "drawing";

    /// <summary>Prints a layout as UTF-8 text; the stream stays open.</summary>
    /// <param name="document">The layout.</param>
    /// <param name="output">Takes the text.</param>
    /// <param name="withPlaces">Says of each shape and placed cell where it was drawn.</param>
    public static void Write(LayoutDocument document, Stream output, bool withPlaces = false)
    {
        using var text = new LayoutTextWriter(output, document, withPlaces);
        text.WriteHead();
        foreach (Cell cell in document.Cells)
        {
            if (cell.Name != document.TopCell)
            {
                text.WriteCell(cell);
            }
        }

        if (document.Cells.FirstOrDefault(cell => cell.Name == document.TopCell) is Cell top)
        {
            text.WriteDrawing(top);
        }
    }

    /// <summary>A name of a layer or cell as it is written: bare where possible, else in quotes.</summary>
    public static string Quote(string name)
    {
        if (name.Length > 0 && name.All(c => char.IsAscii(c) ? NameText.IsBareByte((byte)c) : char.IsLetterOrDigit(c)))
        {
            return name;
        }

        return InQuotes(name);
    }

    /// <summary>A text in quotes.</summary>
    public static string InQuotes(string name)
    {
        // What is left for PrintedText are characters that would act on a terminal; no backslash of its own may look like its escapes.
        string whole = Encoding.UTF8.GetString(Encoding.UTF8.GetBytes(name));
        string escaped = string.Join("\\\\", whole.Split('\\').Select(part => string.Join("\\n", part.Split('\n').Select(piece => PrintedText.Of(piece)))))
            .Replace("\"", "\\\"", StringComparison.Ordinal);
        return $"\"{escaped}\"";
    }
}

/// <summary>How names of layers and cells are written in the text layout: bare where possible, else in quotes.</summary>
internal static class NameText
{
    /// <summary>True for a byte that a bare name may hold: letters, digits, <c>_ . - / $ : +</c> and anything beyond ASCII.</summary>
    public static bool IsBareByte(byte value) =>
        char.IsAsciiLetterOrDigit((char)value) || value >= 0x80 || "_.-/$:+"u8.Contains(value);
}
