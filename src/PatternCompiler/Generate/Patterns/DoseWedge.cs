using PatternCompiler.Units;

namespace PatternCompiler.Generate.Patterns;

/// <summary>A bar in touching steps of rising dose.</summary>
internal static class DoseWedge
{
    public static readonly TestPattern Pattern = new(
        "dose-wedge",
        "one bar in touching steps of rising dose",
        new PatternGuide(
            "Write it once; develop as usual. The bar is wider than the backscattered range, so its middle sees the full background.",
            "Scan a profiler along the bar's middle line: one trace holds the whole contrast curve. A tick stands over the middle of every step, a longer one with the factor over every fifth and the last.",
            "'patternc fit contrast' takes factor and remaining thickness with --base-dose."),
        [
            PatternParameter.Count("steps", 20, "steps"),
            PatternParameter.Length("length", "4 um", "length of a step"),
            PatternParameter.Length("height", "20 um", "height of the bar"),
            DoseSeries.First,
            DoseSeries.Last,
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int steps = arguments.Count("steps");
        long length = arguments.Length("length");
        long height = arguments.Length("height");
        long left = -steps * length / 2;
        for (int i = 0; i < steps; i++)
        {
            DoseFactor dose = DoseSeries.At(arguments, i, steps);
            long x = left + i * length;
            drawing.Rectangle(x, -height / 2, x + length, height / 2, dose);

            // The step before the last label has none: the two would touch.
            bool isNamed = i == steps - 1 || (i % 5 == 0 && steps - 1 - i > 2);
            long middle = x + length / 2;
            long half = Math.Max(1, length / 16);
            long foot = height / 2 + height / 10;
            drawing.Rectangle(middle - half, foot, middle + half, foot + height / (isNamed ? 5 : 10));
            if (isNamed)
            {
                drawing.Label(dose.ToString(), middle, foot + height / 4, (int)Math.Min(height / 8, length * 3 / 4));
            }
        }
    }
}
