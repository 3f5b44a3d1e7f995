using PatternCompiler.Units;

namespace PatternCompiler.Generate.Patterns;

/// <summary>Broken single lines written at several speeds.</summary>
internal static class BlankerTarget
{
    public static readonly TestPattern Pattern = new(
        "blanker-target",
        "broken single lines at several speeds, for the blanker's delays",
        new PatternGuide(
            "Write it with the blanker's delays in the machine file set to zero. A line's dose factor sets its speed: beam current / (line dose × factor).",
            "For every row measure the tail that runs on into a gap and the piece missing where the next dash should begin.",
            "'patternc fit blanker' takes speed, tail and missing length; the slopes are the off and the on delay."),
        [
            PatternParameter.Count("speeds", 6, "rows"),
            PatternParameter.Count("dashes", 5, "dashes in a row"),
            PatternParameter.Length("dash", "5 um", "length of a dash; gaps are as long"),
            PatternParameter.Length("spacing", "4 um", "between rows"),
            PatternParameter.Factor("first-dose", "0.5", "smallest dose factor, the fastest row"),
            PatternParameter.Factor("last-dose", "4", "largest dose factor, the slowest row"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int speeds = arguments.Count("speeds");
        int dashes = arguments.Count("dashes");
        long dash = arguments.Length("dash");
        long spacing = arguments.Length("spacing");
        long left = -(2 * dashes - 1) * dash / 2;
        for (int row = 0; row < speeds; row++)
        {
            DoseFactor dose = DoseSeries.At(arguments, row, speeds);
            long y = spacing * (2 * row - speeds + 1) / 2;
            for (int i = 0; i < dashes; i++)
            {
                drawing.Line(left + 2 * i * dash, y, left + (2 * i + 1) * dash, y, dose);
            }

            drawing.Label(dose.ToString(), left - dash / 2 - spacing, y - spacing / 8, (int)(spacing / 4));
        }

        // Solid rulers show where dashes should begin and end.
        for (int i = 0; i < 2 * dashes; i++)
        {
            long x = left + i * dash;
            drawing.Line(x, spacing * speeds / 2, x, spacing * (speeds + 2) / 2);
        }
    }
}
