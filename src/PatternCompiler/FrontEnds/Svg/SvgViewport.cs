using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
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
        string[] words = (aspect ?? "").Split(' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
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

    private static CompileException Fault(SvgContext context, SvgElement element, string text) => context.Fault(
        SvgCodes.BadNumber,
        $"viewBox=\"{SvgLength.Shorten(text)}\" is not four numbers with width and height above zero",
        element,
        "write for example: viewBox=\"0 0 100 100\"");
}
