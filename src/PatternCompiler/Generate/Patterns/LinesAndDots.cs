using PatternCompiler.Units;

namespace PatternCompiler.Generate.Patterns;

/// <summary>Isolated single lines and rows of single dots of rising dose.</summary>
internal static class LinesAndDots
{
    public static readonly TestPattern Pattern = new(
        "lines-and-dots",
        "isolated single lines and dots of rising dose",
        new PatternGuide(
            "Write it with the line dose and dot charge of the process file. Leave the surroundings bare: the dots must not see each other's background.",
            "Measure the width of every line and the radius of every dot, as far as it is cleared (of a negative resist: as far as it stands).",
            "'patternc fit spread' takes charge and radius of the dots, or factor and radius with --base-charge, and --spot the width of the beam. The narrowest whole line gives the line dose."),
        [
            PatternParameter.Count("steps", 12, "doses"),
            PatternParameter.Length("spacing", "6 um", "between lines, and between dots"),
            PatternParameter.Length("length", "20 um", "length of the lines"),
            PatternParameter.Factor("first-dose", "0.1", "smallest dose factor"),
            PatternParameter.Factor("last-dose", "100", "largest dose factor"),
        ],
        Draw)
    {
        Columns = "factor, x [um], y [um], radius [nm]",
    };

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int steps = arguments.Count("steps");
        long spacing = arguments.Length("spacing");
        long length = arguments.Length("length");
        for (int i = 0; i < steps; i++)
        {
            DoseFactor dose = DoseSeries.At(arguments, i, steps);
            long x = spacing * (2 * i - steps + 1) / 2;
            drawing.Line(x, spacing, x, spacing + length, dose);
            foreach (long y in (long[])[-spacing, -2 * spacing])
            {
                drawing.Dot(x, y, dose);
                drawing.Reading(dose.ToString(), drawing.MicrometreText(x, x), drawing.MicrometreText(y, y), "");
            }

            drawing.Label(dose.ToString(), x, spacing / 8, (int)(spacing / 6));
        }
    }
}
