using System.Collections.Immutable;
using System.Globalization;
using PatternCompiler.Units;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>
/// Numbers for layers: "5/2" is layer 5 with data type 2 and "5" layer 5 with data type 0, as they are read; any other name gets
/// the next free layer number.
/// </summary>
internal static class GdsiiLayerNumbers
{
    private const int Largest = short.MaxValue;

    /// <summary>Layer number and data type for each layer.</summary>
    public static (short Layer, short DataType)[] Of(ImmutableArray<string> names)
    {
        var numbers = new (short Layer, short DataType)?[names.Length];
        var taken = new HashSet<(short, short)>();
        for (int i = 0; i < names.Length; i++)
        {
            if (Parse(names[i]) is { } number && taken.Add(number))
            {
                numbers[i] = number;
            }
        }

        short next = 1;
        for (int i = 0; i < names.Length; i++)
        {
            while (numbers[i] is null)
            {
                if (taken.Add((next, 0)))
                {
                    numbers[i] = (next, 0);
                }

                next = (short)Math.Min(Largest, next + 1);
            }
        }

        return [.. numbers.Select(n => n ?? default)];
    }

    /// <summary>A layer's number as text, "5/2".</summary>
    public static string Text((short Layer, short DataType) number) =>
        string.Create(CultureInfo.InvariantCulture, $"{number.Layer}/{number.DataType}");

    private static (short Layer, short DataType)? Parse(string name)
    {
        string[] parts = name.Split('/');
        return parts.Length <= 2 && Number(parts[0]) is { } layer && (parts.Length == 1 ? 0 : Number(parts[1])) is { } dataType
            ? (layer, dataType)
            : null;
    }

    private static short? Number(string text) =>
        text.Length is > 0 and <= 5 && text.All(char.IsAsciiDigit) && NumberText.TryParseInteger(text, out long value) && value <= Largest
            ? (short)value
            : null;
}
