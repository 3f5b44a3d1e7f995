using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Svg.Syntax;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>The rectangle that percentages refer to, and the map of a view box into it (SVG 2, chapter 8).</summary>
/// <param name="Width">Width in user units.</param>
/// <param name="Height">Height in user units.</param>
internal readonly record struct SvgViewport(double Width, double Height)
{
    /// <summary>What a percentage refers to that belongs to neither axis.</summary>
    public double Diagonal => Math.Sqrt(((Width * Width) + (Height * Height)) / 2);

    /// <summary>The view box of an element: x, y, width and height; null if it has none.</summary>
    public static (double X, double Y, double Width, double Height)? ViewBox(SvgContext context, SvgElement element)
    {
        if (element.Get("viewBox") is not string text)
        {
            return null;
        }

        var scanner = new SvgScanner(text);
        Span<double> numbers = stackalloc double[4];
        foreach (ref double number in numbers)
        {
            scanner.SkipSeparator();
            if (!scanner.TryTakeNumber(out number))
            {
                throw Fault(context, element, text);
            }
        }

        return scanner.AtEnd && numbers[2] > 0 && numbers[3] > 0
            ? (numbers[0], numbers[1], numbers[2], numbers[3])
            : throw Fault(context, element, text);
    }

    /// <summary>Maps a view box into a rectangle with its corner at the origin, by <c>preserveAspectRatio</c>.</summary>
    public static Affine Fit((double X, double Y, double Width, double Height) box, double width, double height, string? aspect)
    {
        double scaleX = width / box.Width;
        double scaleY = height / box.Height;
        string[] words = (aspect ?? "").Split(SvgElement.Blanks, StringSplitOptions.RemoveEmptyEntries);
        string align = words.FirstOrDefault(word => word is not "defer") ?? "xMidYMid";
        if (align != "none")
        {
            scaleX = scaleY = words.Contains("slice") ? Math.Max(scaleX, scaleY) : Math.Min(scaleX, scaleY);
        }

        double freeX = width - (scaleX * box.Width);
        double freeY = height - (scaleY * box.Height);
        double shiftX = align.StartsWith("xMax", StringComparison.Ordinal) ? freeX : align.StartsWith("xMid", StringComparison.Ordinal) ? freeX / 2 : 0;
        double shiftY = align.EndsWith("YMax", StringComparison.Ordinal) ? freeY : align.EndsWith("YMid", StringComparison.Ordinal) ? freeY / 2 : 0;
        return new(scaleX, 0, 0, scaleY, shiftX - (scaleX * box.X), shiftY - (scaleY * box.Y));
    }

    /// <summary>The <c>preserveAspectRatio</c> of an element; null if it has none.</summary>
    public static string? Aspect(SvgContext context, SvgElement element)
    {
        string? text = element.Get("preserveAspectRatio");
        string[] words = (text ?? "").Split(SvgElement.Blanks, StringSplitOptions.RemoveEmptyEntries);
        int first = words.Length > 0 && words[0] == "defer" ? 1 : 0;
        bool isKnown = words.Length <= first + 2 && (words.Length == first || IsAlign(words[first]))
            && (words.Length < first + 2 || words[first + 1] is "meet" or "slice");
        return isKnown
            ? text
            : throw context.Fault(SvgCodes.BadNumber, $"preserveAspectRatio=\"{SvgLength.Shorten(text!)}\" cannot be read", element, "write for example: preserveAspectRatio=\"xMidYMid meet\"");
    }

    private static bool IsAlign(string word) => word == "none"
        || (word.Length == 8 && word[..4] is "xMin" or "xMid" or "xMax" && word[4..] is "YMin" or "YMid" or "YMax");

    private static CompileException Fault(SvgContext context, SvgElement element, string text) => context.Fault(
        SvgCodes.BadNumber,
        $"viewBox=\"{SvgLength.Shorten(text)}\" is not four numbers with width and height above zero",
        element,
        "write for example: viewBox=\"0 0 100 100\"");
}
