using System.Collections.Immutable;
using System.Runtime.InteropServices;

namespace PatternCompiler.Geometry.Lettering;

/// <summary>
/// Text as single strokes: polylines that a beam, or a pen in a picture, can follow. Covers printable ASCII and
/// µ ² ± ° · × σ. A line feed starts a new line below. Letters are measured in cell units: capitals are
/// <see cref="CapHeight"/> high.
/// </summary>
internal static class StrokeLettering
{
    /// <summary>Height of capitals and digits, in cell units.</summary>
    public const int CapHeight = 12;

    /// <summary>How far descenders reach below the baseline, in cell units.</summary>
    public const int Descent = 4;

    /// <summary>From one baseline to the next, in cell units.</summary>
    public const int LineSpacing = 20;

    /// <summary>Gap between neighbouring letters, in cell units.</summary>
    public const int LetterGap = 3;

    /// <summary>Every character that can be drawn, in code order, besides the line feed.</summary>
    public static ImmutableArray<char> Characters => GlyphTable.Characters;

    /// <summary>True if the character can be drawn; others appear as a box.</summary>
    public static bool CanDraw(char character) => character == '\n' || GlyphTable.Find(character) is not null;

    /// <summary>Width of the longest line of a text, in cell units.</summary>
    public static int MeasureWidth(string text)
    {
        int widest = 0;
        int x = 0;
        foreach (char character in text)
        {
            if (character == '\n')
            {
                x = 0;
                continue;
            }

            x += GlyphOf(character).Width + LetterGap;
            widest = Math.Max(widest, x - LetterGap);
        }

        return widest;
    }

    /// <summary>The polylines of a text in cell units; the first line's baseline starts at (0, 0).</summary>
    public static ImmutableArray<ImmutableArray<GridPoint>> Layout(string text)
    {
        var polylines = ImmutableArray.CreateBuilder<ImmutableArray<GridPoint>>();
        int x = 0;
        int y = 0;
        foreach (char character in text)
        {
            if (character == '\n')
            {
                x = 0;
                y -= LineSpacing;
                continue;
            }

            Glyph glyph = GlyphOf(character);
            foreach (ImmutableArray<GridPoint> stroke in glyph.Strokes)
            {
                var moved = new GridPoint[stroke.Length];
                for (int i = 0; i < moved.Length; i++)
                {
                    moved[i] = new GridPoint(stroke[i].X + x, stroke[i].Y + y);
                }

                polylines.Add(ImmutableCollectionsMarshal.AsImmutableArray(moved));
            }

            x += glyph.Width + LetterGap;
        }

        return polylines.DrainToImmutable();
    }

    /// <summary>
    /// The polylines of a text on a layout grid: capitals <paramref name="capHeight"/> grid steps high, the first line's
    /// baseline starting at <paramref name="origin"/>. Points are rounded to the nearest grid step (halves upward).
    /// </summary>
    /// <exception cref="ArgumentOutOfRangeException">The height is below <see cref="CapHeight"/> grid steps, or the text leaves the grid's range.</exception>
    public static ImmutableArray<ImmutableArray<GridPoint>> Layout(string text, GridPoint origin, int capHeight)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(capHeight, CapHeight);
        return [.. Layout(text).Select(stroke => stroke.Select(point => Place(point, origin, capHeight)).ToImmutableArray())];
    }

    private static GridPoint Place(GridPoint cell, GridPoint origin, int capHeight)
    {
        long x = origin.X + Scale(cell.X, capHeight);
        long y = origin.Y + Scale(cell.Y, capHeight);
        if (Math.Abs(x) > GridPoint.Limit || Math.Abs(y) > GridPoint.Limit)
        {
            throw new ArgumentOutOfRangeException(nameof(origin), origin, "The text leaves the range of grid coordinates.");
        }

        return new GridPoint((int)x, (int)y);
    }

    private static long Scale(int cell, int capHeight)
    {
        long doubled = 2L * cell * capHeight + CapHeight;
        const long Divisor = 2L * CapHeight;
        return doubled >= 0 ? doubled / Divisor : -((Divisor - 1 - doubled) / Divisor);
    }

    private static Glyph GlyphOf(char character) => GlyphTable.Find(character) ?? GlyphTable.Missing;
}
