using PatternCompiler.Units;

namespace PatternCompiler.Generate.Patterns;

/// <summary>Squares whose dose rises from left to right and from row to row, each with its factor.</summary>
internal static class DoseMatrix
{
    public static readonly TestPattern Pattern = new(
        "dose-matrix",
        "squares of rising dose, each labelled with its factor",
        new PatternGuide(
            "Write it at the base dose you believe in; the factors span a range around it. Develop as usual.",
            "Find the first square that is clear to the substrate, and measure the remaining thickness of the others.",
            "The factor of the first clear square times the base dose clears large areas; their edges need about twice that. 'patternc fit contrast' takes dose and thickness of all squares, or factor and thickness with --base-dose; from the clearing dose it tells the base dose."),
        [
            PatternParameter.Count("columns", 6, "squares in a row"),
            PatternParameter.Count("rows", 4, "rows"),
            PatternParameter.Length("size", "8 um", "side of a square"),
            PatternParameter.Length("pitch", "14 um", "from square to square"),
            DoseSeries.First,
            DoseSeries.Last,
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int columns = arguments.Count("columns");
        int rows = arguments.Count("rows");
        long size = arguments.Length("size");
        long pitch = arguments.Length("pitch");
        PatternDrawing.Require(pitch * 3 >= size * 4, "the squares leave no room for their labels", "make the pitch at least 4/3 of the size");
        int cap = (int)((pitch - size) / 3);
        for (int row = 0; row < rows; row++)
        {
            for (int column = 0; column < columns; column++)
            {
                DoseFactor dose = DoseSeries.At(arguments, row * columns + column, rows * columns);
                long x = pitch * (2 * column - columns + 1) / 2;
                long y = pitch * (rows - 1 - 2 * row) / 2;
                drawing.Rectangle(x - size / 2, y - size / 2, x + size / 2, y + size / 2, dose);
                drawing.Label(dose.ToString(), x, y - size / 2 - 2 * cap, cap);
            }
        }
    }
}
