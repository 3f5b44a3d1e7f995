using PatternCompiler.Units;

namespace PatternCompiler.Generate.Patterns;

/// <summary>Short bars that follow jumps of growing length, beside bars that follow none.</summary>
internal static class SettlingTarget
{
    public static readonly TestPattern Pattern = new(
        "settling-target",
        "short bars after jumps of growing length, beside a reference",
        new PatternGuide(
            "Write it in drawing order with the settling time of the machine file, and again with half and twice that time. Each row jumps from the left anchor to its bar.",
            "Measure how far each right-hand bar's start lies off the line that the reference bars give. A bent or displaced start means that the beam was still moving.",
            "'patternc fit settling' takes jump, wait and displacement of all bars and prints time constant and waits for the machine file."),
        [
            PatternParameter.Count("jumps", 8, "jump lengths"),
            PatternParameter.Length("longest", "80 um", "longest jump"),
            PatternParameter.Length("bar", "1 um", "length of a bar"),
            PatternParameter.Length("width", "0.1 um", "width of a bar"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int jumps = arguments.Count("jumps");
        long longest = arguments.Length("longest");
        long bar = arguments.Length("bar");
        long width = arguments.Length("width");
        long anchor = -longest / 2;
        long rowHeight = 4 * bar;
        for (int i = 0; i < jumps; i++)
        {
            long y = rowHeight * (2 * i - jumps + 1) / 2;
            long x = anchor + longest * (i + 1) / jumps;
            drawing.Rectangle(anchor - bar, y, anchor, y + width);
            drawing.Rectangle(x, y, x + bar, y + width);
            // The reference lies right above, reached by a jump of one bar's length only.
            drawing.Rectangle(x, y + bar, x + bar, y + bar + width);
            drawing.Label(NumberText.Format(Math.Round(drawing.ToNanometres(x - anchor) / 1000, 1, MidpointRounding.AwayFromZero)), anchor - 4 * bar, y - bar / 2, (int)bar);
        }
    }
}
