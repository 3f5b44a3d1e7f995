using System.Globalization;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Model.Layout;

/// <summary>How places are written in the text layout: what they share in lines of its head, the rest behind each shape.</summary>
internal static class PlaceText
{
    /// <summary>Stands for the name of a drawing that has none.</summary>
    public const string NoFile = "-";

    /// <summary>The word for what the number of a place is; empty where there is none.</summary>
    public static string WordOf(PlaceNumber number) => number switch
    {
        PlaceNumber.Handle => "handle",
        PlaceNumber.Name => "name",
        PlaceNumber.Column => "column",
        PlaceNumber.Element => "element",
        PlaceNumber.Byte => "byte",
        _ => "",
    };

    /// <summary>The lines of the head.</summary>
    public static IEnumerable<string> Head(PlaceTable places)
    {
        foreach (PlaceWord word in places.Words)
        {
            string number = WordOf(word.Number);
            yield return $"origin {LayoutWriter.InQuotes(NameOf(word.File))} {LayoutWriter.InQuotes(word.Kind)}"
                + (word.Cell is null ? "" : $" cell {LayoutWriter.InQuotes(word.Cell)}")
                + (word.Layer is null ? "" : $" layer {LayoutWriter.InQuotes(word.Layer)}")
                + (number.Length == 0 ? "" : $" {number}");
        }

        foreach (string name in places.Names)
        {
            yield return $"named {LayoutWriter.InQuotes(name)}";
        }
    }

    // Standard input has a dash for its name, too.
    private static string NameOf(string? file) => file switch { null => NoFile, NoFile => "standard input", _ => file };

    /// <summary>The place of a shape or placed cell: <c>ORIGIN/LINE/NUMBER</c>, with a plus between those of the rings of a polygon.</summary>
    public static string Of(PlaceTable places, PlaceId place) => places.RingsOf(place) is { } rings
        ? string.Join('+', rings.Select(ring => Of(places, ring)))
        : places.Parts(place) is (int word, int line, ulong number)
        ? string.Create(CultureInfo.InvariantCulture, $"{word}/{line}/{number}")
        : "0/0/0";
}
