using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>Reads transform lists (CSS Transforms 1, 8; the SVG syntax).</summary>
internal static class SvgTransform
{
    /// <summary>The transform of an element; the identity if it has none.</summary>
    public static Affine Of(SvgContext context, SvgElement element, string? text)
    {
        Affine result = Affine.Identity;
        if (text is null || text.Trim() is "none" or "")
        {
            return result;
        }

        var scanner = new SvgScanner(text);
        Span<double> numbers = stackalloc double[6];
        while (!scanner.AtEnd)
        {
            string name = scanner.TakeWord().ToString();
            if (!scanner.TryTake('('))
            {
                throw Fault(context, element, text);
            }

            int count = 0;
            while (!scanner.TryTake(')'))
            {
                if (count == numbers.Length || !scanner.TryTakeNumber(out numbers[count++]) || !IsUnit(scanner.TakeWord()))
                {
                    throw Fault(context, element, text);
                }

                scanner.SkipSeparator();
            }

            Affine? next = Make(name, numbers[..count]);
            result = result.After(next ?? throw Fault(context, element, text));
            scanner.SkipSeparator();
        }

        return result;
    }

    private static CompileException Fault(SvgContext context, SvgElement element, string text) => context.Fault(
        SvgCodes.BadTransform,
        $"transform=\"{SvgLength.Shorten(text)}\" cannot be read",
        element,
        "transforms are matrix, translate, scale, rotate, skewX and skewY with their numbers in brackets");

    // The units that CSS allows and that change nothing.
    private static bool IsUnit(ReadOnlySpan<char> unit) => unit is "" or "px" or "deg";

    private static Affine? Make(string name, ReadOnlySpan<double> n) => (name, n.Length) switch
    {
        ("matrix", 6) => new(n[0], n[2], n[1], n[3], n[4], n[5]),
        ("translate", 1) => new(1, 0, 0, 1, n[0], 0),
        ("translate", 2) => new(1, 0, 0, 1, n[0], n[1]),
        ("scale", 1) => new(n[0], 0, 0, n[0], 0, 0),
        ("scale", 2) => new(n[0], 0, 0, n[1], 0, 0),
        ("rotate", 1) => Rotation(n[0]),
        ("rotate", 3) => new Affine(1, 0, 0, 1, n[1], n[2]).After(Rotation(n[0])).After(new(1, 0, 0, 1, -n[1], -n[2])),
        ("skewX", 1) => Skew(n[0]) is double skew ? new(1, skew, 0, 1, 0, 0) : null,
        ("skewY", 1) => Skew(n[0]) is double skew ? new(1, 0, skew, 1, 0, 0) : null,
        _ => null,
    };

    private static Affine Rotation(double degrees)
    {
        (double sin, double cos) = Trigonometry.SinCosDegrees(degrees);
        return new(cos, -sin, sin, cos, 0, 0);
    }

    private static double? Skew(double degrees)
    {
        (double sin, double cos) = Trigonometry.SinCosDegrees(degrees);
        return cos == 0 ? null : sin / cos;
    }
}
