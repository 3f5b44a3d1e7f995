using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>The functions of formulas. Angles are in degrees.</summary>
internal static class FormulaFunction
{
    /// <summary>Ratio of a circle's circumference to its diameter, to 28 digits.</summary>
    public const decimal Pi = 3.1415926535897932384626433833m;

    /// <summary>Every function, and the constant.</summary>
    public static readonly string[] Names =
        ["abs", "atan2", "ceil", "cos", "floor", "max", "min", "mod", "pi", "round", "sin", "sqrt", "tan"];

    /// <summary>Number of arguments of a function; null if there is none of that name.</summary>
    public static int? ArgumentCount(string name) => name switch
    {
        "abs" or "ceil" or "cos" or "floor" or "round" or "sin" or "sqrt" or "tan" => 1,
        "atan2" or "max" or "min" or "mod" => 2,
        _ => null,
    };

    /// <summary>Value of a function. Two arguments are of one dimension already.</summary>
    public static Amount Call(in LineScanner scanner, string name, ReadOnlySpan<Amount> arguments, int position)
    {
        Amount first = arguments[0];
        return name switch
        {
            "abs" => first with { Value = Math.Abs(first.Value) },
            "max" => first with { Value = Math.Max(first.Value, arguments[1].Value) },
            "min" => first with { Value = Math.Min(first.Value, arguments[1].Value) },
            "mod" => first with { Value = Remainder(scanner, first.Value, arguments[1].Value, position) },
            "sqrt" => SquareRoot(scanner, first, position),
            "atan2" => new(FromReal(Trigonometry.Atan2((double)first.Value, (double)arguments[1].Value) * (180 / Math.PI)), 0),
            _ => new(OfPlainNumber(scanner, name, first, position), 0),
        };
    }

    private static decimal OfPlainNumber(in LineScanner scanner, string name, Amount argument, int position)
    {
        if (argument.LengthPower != 0)
        {
            string fix = name is "floor" or "ceil" or "round" ? $"divide by a length first, as in {name}(a / b)" : "angles are plain numbers in degrees";
            throw scanner.Fault(LayoutCodes.WrongDimension, $"'{name}' takes a plain number, but this is {argument.Kind}", position, fix);
        }

        decimal value = argument.Value;
        return name switch
        {
            "floor" => Math.Floor(value),
            "ceil" => Math.Ceiling(value),
            "round" => Math.Round(value, MidpointRounding.AwayFromZero),
            "sin" => FromReal(Trigonometry.SinCosDegrees((double)value).Sin),
            "cos" => FromReal(Trigonometry.SinCosDegrees((double)value).Cos),
            _ => Tangent(scanner, value, position),
        };
    }

    private static decimal Tangent(in LineScanner scanner, decimal degrees, int position)
    {
        (double sin, double cos) = Trigonometry.SinCosDegrees((double)degrees);
        return cos == 0
            ? throw scanner.Fault(LayoutCodes.Arithmetic, "the tangent of a right angle has no value", position)
            : FromReal(sin / cos);
    }

    private static decimal Remainder(in LineScanner scanner, decimal value, decimal divisor, int position) => divisor == 0
        ? throw scanner.Fault(LayoutCodes.Arithmetic, "division by zero", position)
        : value - (divisor * Math.Floor(value / divisor));

    private static Amount SquareRoot(in LineScanner scanner, Amount argument, int position)
    {
        if (argument.Value < 0)
        {
            throw scanner.Fault(LayoutCodes.Arithmetic, "the root of a negative number has no value", position);
        }

        if (argument.LengthPower % 2 != 0)
        {
            throw scanner.Fault(LayoutCodes.WrongDimension, $"'sqrt' takes a plain number or an area, but this is {argument.Kind}", position);
        }

        // One step of Newton's rule doubles the digits of the hardware's root.
        decimal root = (decimal)Math.Sqrt((double)argument.Value);
        root = root == 0 ? 0 : (root + (argument.Value / root)) / 2;
        return new(root, argument.LengthPower / 2);
    }

    // The conversion keeps 15 digits, which hides the last bits of a rounded sine: sin(30) is 0.5.
    private static decimal FromReal(double value) => (decimal)value;
}
