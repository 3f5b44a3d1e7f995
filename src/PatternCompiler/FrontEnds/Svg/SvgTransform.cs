using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Svg.Syntax;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>Reads transform lists (CSS Transforms 1, 8; the SVG syntax).</summary>
internal static class SvgTransform
{
    /// <summary>The transform about an origin.</summary>
    public static Affine About(Affine transform, PlanePoint origin) =>
        new Affine(1, 0, 0, 1, origin.X, origin.Y).After(transform).After(new(1, 0, 0, 1, -origin.X, -origin.Y));

    /// <summary>
    /// The point that <c>transform-origin</c> names (CSS Transforms 1, 5): one or two of left, center, right, top, bottom, lengths
    /// and percentages; a third value, a depth, changes nothing in the plane.
    /// </summary>
    /// <param name="context">For errors.</param>
    /// <param name="element">For errors.</param>
    /// <param name="text">The value.</param>
    /// <param name="corner">Lower corner of the reference box.</param>
    /// <param name="width">Width of the reference box: what percentages across are of.</param>
    /// <param name="height">Its height.</param>
    public static PlanePoint Origin(SvgContext context, SvgElement element, string text, PlanePoint corner, double width, double height)
    {
        string[] words = text.ToLowerInvariant().Split(SvgElement.Blanks, StringSplitOptions.RemoveEmptyEntries);
        (string across, string down) = words.Length switch
        {
            1 => words[0] is "top" or "bottom" ? ("center", words[0]) : (words[0], "center"),
            2 or 3 => words[0] is "top" or "bottom" || words[1] is "left" or "right" ? (words[1], words[0]) : (words[0], words[1]),
            _ => ("", ""),
        };
        if (across is "" or "top" or "bottom" || down is "" or "left" or "right")
        {
            throw context.Fault(SvgCodes.BadTransform, $"transform-origin=\"{SvgLength.Shorten(text)}\" cannot be read", element, "write for example: transform-origin=\"50% 50%\"");
        }

        return corner + new PlanePoint(Along(across, width), Along(down, height));

        double Along(string word, double whole) => word switch
        {
            "left" or "top" => 0,
            "center" => whole / 2,
            "right" or "bottom" => whole,
            _ => SvgLength.ToUser(SvgLength.Parse(context, element, "transform-origin", word), whole),
        };
    }

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
