using PatternCompiler.Units;

namespace PatternCompiler.Generate.Patterns;

/// <summary>
/// Squares whose dose rises from left to right and from row to row, each with its factor; beside each, if wanted, gaps in squares of
/// the same size, bars alone and bars side by side, with their width.
/// </summary>
internal static class DoseMatrix
{
    /// <summary>Bars of a group; the gaps between them are as wide as they are.</summary>
    private const int BarsInGroup = 5;

    public static readonly TestPattern Pattern = new(
        "dose-matrix",
        "squares of rising dose, each labelled with its factor; bars and gaps beside them",
        new PatternGuide(
            "Write it at the base dose you believe in; the factors span a range around it. Develop as usual.",
            "Measure the thickness that remains in the middle of every square, or find the first that is clear to the substrate (of a negative resist: the first that stands). Of bars and gaps (--bars 1 or more), measure the width in the middle of their length: the bar alone, the middle bar of the five and a gap beside it, and the gap in the square.",
            "The factor of the first square times the base dose prints the middle of large areas; their edges need about twice that. 'patternc fit dose' takes squares and widths together and tells base dose and bias. 'patternc fit contrast' takes dose and thickness of all squares, or factor and thickness with --base-dose. "
            + "What stands between neighbours (pitch less size) should be at least one and a half times as far as electrons scatter back."),
        [
            PatternParameter.Count("columns", 6, "squares in a row"),
            PatternParameter.Count("rows", 4, "rows"),
            PatternParameter.Length("size", "8 um", "side of a square, and length of bars and gaps"),
            PatternParameter.Length("pitch", "14 um", "from square to square; what it leaves between them is left between all features"),
            DoseSeries.First,
            DoseSeries.Last,
            PatternParameter.CountOrNone("bars", "widths of bars and gaps beside each square; none: squares alone"),
            PatternParameter.Length("narrowest", "300 nm", "narrowest of these widths"),
            PatternParameter.Length("widest", "1 um", "widest of them, if there are several; they rise in equal ratios"),
        ],
        Draw)
    {
        Columns = "feature, drawn [nm], length [um], bars, pitch [nm], beside [um], factor, x [um], y [um], measured [nm], thickness [nm]",
    };

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int columns = arguments.Count("columns");
        int rows = arguments.Count("rows");
        long size = arguments.Length("size");
        long pitch = arguments.Length("pitch");
        PatternDrawing.Require(pitch * 3 >= size * 4, "the squares leave no room for their labels", "make the pitch at least 4/3 of the size");
        long space = pitch - size;
        int cap = (int)(space / 3);
        long[] widths = Widths(arguments, size);
        long cell = pitch + widths.Sum(width => size + (3 * space) + (2 * BarsInGroup * width));
        for (int row = 0; row < rows; row++)
        {
            for (int column = 0; column < columns; column++)
            {
                DoseFactor dose = DoseSeries.At(arguments, row * columns + column, rows * columns);
                long left = (cell * (2 * column - columns) + space) / 2;
                long y = pitch * (rows - 1 - 2 * row) / 2;
                drawing.Rectangle(left, y - size / 2, left + size, y + size / 2, dose);
                drawing.Label(dose.ToString(), left + size / 2, y - size / 2 - 2 * cap, cap);
                drawing.Reading("square", drawing.NanometreText(size), "", "", "", "", dose.ToString(), drawing.MicrometreText(left, left + size), drawing.MicrometreText(y, y), "", "");
                left += pitch;
                foreach (long width in widths)
                {
                    left = DrawBars(drawing, left, y, size, space, width, dose);
                }
            }
        }
    }

    // A gap in a square, a bar alone, bars side by side; returns where the next features begin.
    private static long DrawBars(PatternDrawing drawing, long left, long y, long size, long space, long width, DoseFactor dose)
    {
        (long bottom, long top) = (y - size / 2, y + size / 2);
        int cap = (int)(space / 3);
        long beside = (size - width) / 2;
        drawing.Rectangle(left, bottom, left + beside, top, dose);
        drawing.Rectangle(left + beside + width, bottom, left + 2 * beside + width, top, dose);
        Reading("gap", left + beside, "", "", drawing.MicrometreText(beside, beside));
        left += size + space;
        drawing.Rectangle(left, bottom, left + width, top, dose);
        drawing.Label(drawing.NanometreText(width), left + width / 2, bottom - 2 * cap, cap);
        Reading("bar", left, "", "", "");
        left += width + space;
        for (int bar = 0; bar < BarsInGroup; bar++)
        {
            drawing.Rectangle(left + 2 * bar * width, bottom, left + (2 * bar + 1) * width, top, dose);
        }

        (string bars, string pitch) = (NumberText.Format(BarsInGroup), drawing.NanometreText(2 * width));
        Reading("bar", left + (BarsInGroup - 1) * width, bars, pitch, "");
        Reading("gap", left + BarsInGroup * width, bars, pitch, "");
        return left + (2 * BarsInGroup - 1) * width + space;

        void Reading(string feature, long from, string bars, string pitch, string beside) => drawing.Reading(
            feature, drawing.NanometreText(width), drawing.MicrometreText(size, size), bars, pitch, beside, dose.ToString(), drawing.MicrometreText(from, from + width), drawing.MicrometreText(y, y), "", "");
    }

    private static long[] Widths(PatternArguments arguments, long size)
    {
        int count = arguments.Count("bars");
        if (count == 0)
        {
            return [];
        }

        long narrowest = arguments.Length("narrowest");
        long widest = count == 1 ? narrowest : arguments.Length("widest");
        PatternDrawing.Require(widest >= narrowest, "the widest bar is narrower than the narrowest", "set widest to a larger width");
        PatternDrawing.Require(3 * widest <= size, "the bars are too wide for their length", "make the size at least three times the widest bar");
        return [.. Enumerable.Range(0, count).Select(i => (long)Math.Round(narrowest * Math.Pow((double)widest / narrowest, count == 1 ? 0 : (double)i / (count - 1)), MidpointRounding.AwayFromZero))];
    }
}
