using System.Diagnostics.CodeAnalysis;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Units;

/// <summary>A number with its unit, as a user wrote it.</summary>
/// <param name="Number">The number before the unit.</param>
/// <param name="Unit">The unit.</param>
internal readonly record struct Quantity(double Number, Unit Unit)
{
    /// <summary>Beyond any use, and safe from overflow in every conversion.</summary>
    internal const double Largest = 1e30;

    /// <summary>What it measures.</summary>
    public Dimension Dimension => Unit.Dimension;

    /// <summary>Value in the dimension's base unit.</summary>
    public double BaseValue => Scale(Number * Unit.Factor, Unit.PowerOfTen);

    /// <summary>
    /// Value in another unit of the same dimension. Between decimal units the result is the exact value rounded once:
    /// 80 um are exactly 80,000 nm.
    /// </summary>
    public double In(Unit target)
    {
        if (target.Dimension != Dimension)
        {
            throw new ArgumentException($"{this} is not {DimensionText.NameOf(target.Dimension)}.", nameof(target));
        }

        return Scale(Number * Unit.Factor, Unit.PowerOfTen - target.PowerOfTen) / target.Factor;
    }

    /// <summary>
    /// Reads a number and a unit, with or without space between them, and checks that it is one of the wanted
    /// dimensions. A number without unit is accepted only where a plain number is wanted.
    /// </summary>
    public static bool TryParse(
        string text, ReadOnlySpan<Dimension> wanted, out Quantity quantity, [NotNullWhen(false)] out QuantityFault? fault)
    {
        quantity = default;
        string trimmed = text.Trim();
        int numberLength = LengthOfNumber(trimmed);
        if (!NumberText.TryParseReal(trimmed.AsSpan(0, numberLength), out double number))
        {
            fault = Fault(UnitCodes.NotAQuantity, wanted, $"but '{text}' does not start with a number");
            return false;
        }

        if (Math.Abs(number) > Largest)
        {
            fault = Fault(UnitCodes.NotAQuantity, wanted, $"but '{text}' is too large");
            return false;
        }

        string symbol = trimmed[numberLength..].Trim();
        if (symbol.StartsWith(','))
        {
            fault = Fault(UnitCodes.NotAQuantity, wanted, $"but '{text}' has a comma; decimals take a point");
            return false;
        }

        ReadOnlySpan<Unit> candidates = UnitTable.Find(symbol);
        foreach (Unit unit in candidates)
        {
            if (wanted.Contains(unit.Dimension))
            {
                quantity = new Quantity(number, unit);
                fault = null;
                return true;
            }
        }

        fault = symbol.Length == 0 ? Fault(UnitCodes.MissingUnit, wanted, $"but '{text}' has no unit")
            : candidates.Length == 0 ? UnknownUnit(text, symbol, wanted)
            : Fault(UnitCodes.WrongDimension, wanted, $"but '{text}' is {DimensionText.NameOf(candidates[0].Dimension)}");
        return false;
    }

    /// <summary>Number and unit, e.g. "80 um"; reads back to the same quantity.</summary>
    public override string ToString() =>
        Unit.Symbol.Length == 0 ? NumberText.Format(Number) : $"{NumberText.Format(Number)} {Unit.Symbol}";

    private static QuantityFault Fault(Diagnostics.DiagnosticCode code, ReadOnlySpan<Dimension> wanted, string found) =>
        new(code, $"needs {DimensionText.NameOf(wanted)}, {found}", $"write for example {DimensionText.ExampleOf(wanted)}");

    private static QuantityFault UnknownUnit(string text, string symbol, ReadOnlySpan<Dimension> wanted)
    {
        string? nearest = Diagnostics.NearestWord.Find(symbol, UnitTable.SymbolsOf(wanted.ToArray()));
        QuantityFault fault = Fault(UnitCodes.UnknownUnit, wanted, $"and '{symbol}' in '{text}' is no known unit");
        return nearest is null ? fault : fault with { Fix = $"did you mean '{nearest}'?" };
    }

    /// <summary>The longest prefix that has the form of a number; an "e" counts only with digits after it.</summary>
    private static int LengthOfNumber(string text)
    {
        int i = text.Length > 0 && text[0] is '+' or '-' ? 1 : 0;
        i = SkipDigits(text, i);
        if (i < text.Length && text[i] == '.')
        {
            i = SkipDigits(text, i + 1);
        }

        if (i < text.Length && text[i] is 'e' or 'E')
        {
            int exponent = i + 1 < text.Length && text[i + 1] is '+' or '-' ? i + 2 : i + 1;
            int end = SkipDigits(text, exponent);
            i = end > exponent ? end : i;
        }

        return i;
    }

    private static int SkipDigits(string text, int start)
    {
        while (start < text.Length && char.IsAsciiDigit(text[start]))
        {
            start++;
        }

        return start;
    }

    /// <summary>
    /// The value times a power of ten, rounded once: the power is added to the exponent of the shortest decimal text,
    /// which is what the user wrote, and the text is read again.
    /// </summary>
    private static double Scale(double value, int power)
    {
        if (power == 0)
        {
            return value;
        }

        string text = NumberText.Format(value);
        int mark = text.IndexOf('E', StringComparison.Ordinal);
        if (mark >= 0 && NumberText.TryParseInteger(text.AsSpan(mark + 1), out long exponent))
        {
            return Scale(text[..mark], exponent + power);
        }

        return Scale(text, power);
    }

    private static double Scale(string mantissa, long exponent) =>
        NumberText.TryParseReal($"{mantissa}E{exponent}", out double scaled)
            ? scaled
            : throw new OverflowException($"{mantissa}E{exponent} is out of range.");
}
