using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Lettering;

namespace PatternCompiler.Pictures;

/// <summary>Text in pictures, drawn with the stroke letters.</summary>
internal static class Label
{
    // More than the widest picture shows.
    private const int LongestText = 1000;

    /// <summary>Width of a text in pixels.</summary>
    public static double Width(string text, double capHeight) =>
        StrokeLettering.MeasureWidth(text) * capHeight / StrokeLettering.CapHeight;

    /// <summary>Draws a text; <paramref name="anchor"/> is the part of its width that lies left of x (0, 0.5 or 1).</summary>
    public static void Draw(
        IPictureSurface surface, string text, double x, double y, double capHeight, PictureColour colour, double anchor = 0, bool isBold = false)
    {
        double scale = capHeight / StrokeLettering.CapHeight;
        double left = x - anchor * Width(text, capHeight);
        Draw(surface, text, capHeight, colour, isBold, point => (left + point.X * scale, y - point.Y * scale));
    }

    /// <summary>Draws a text that reads upward, its middle at y.</summary>
    public static void DrawUpward(IPictureSurface surface, string text, double x, double y, double capHeight, PictureColour colour)
    {
        double scale = capHeight / StrokeLettering.CapHeight;
        double start = y + Width(text, capHeight) / 2;
        Draw(surface, text, capHeight, colour, false, point => (x - point.Y * scale, start - point.X * scale));
    }

    /// <summary>The text, or as much of its beginning as fits, with two dots for the rest.</summary>
    public static string Fit(string text, double capHeight, double width)
    {
        text = PrintedText.Of(text, LongestText);
        if (Width(text, capHeight) <= width)
        {
            return text;
        }

        int length = text.Length;
        while (length > 0 && Width(text[..length] + "..", capHeight) > width)
        {
            length--;
        }

        return text[..length] + "..";
    }

    private static void Draw(
        IPictureSurface surface, string text, double capHeight, PictureColour colour, bool isBold, Func<GridPoint, (double X, double Y)> place)
    {
        var path = new ScreenPath();
        foreach (ImmutableArray<GridPoint> stroke in StrokeLettering.Layout(text))
        {
            foreach (GridPoint point in stroke)
            {
                (double x, double y) = place(point);
                path.Add(x, y);
            }

            path.EndPart();
        }

        surface.Stroke(path, colour, Math.Max(1.05, capHeight / (isBold ? 7 : 9)));
    }
}
