using PatternCompiler.Units;

namespace PatternCompiler.Generate.Patterns;

/// <summary>
/// Broken single lines written at several speeds and one dose, in a frame. A line that is to be twice as fast is drawn twice with half
/// of the dose, a nanometre beside itself: ends of equal dose print alike, so that what differs from row to row is the blanker's.
/// </summary>
internal static class BlankerTarget
{
    private const double BesideNanometres = 1;
    private const int MostSpeeds = 9;

    public static readonly TestPattern Pattern = new(
        "blanker-target",
        "broken single lines at several speeds, for the blanker's delays",
        new PatternGuide(
            "Write it as drawn (job: order: {by: as given}), with an off_delay in the machine file that is longer than the blanker takes: then the beam waits at the end of a line until it is off; what comes after it has left would land where the next line begins. A line's dose factor sets its speed, beam current / (line dose × factor); each row is written at twice the speed of the row below it, as many times more often.",
            "Take a micrograph of all of it, pixels not larger than a fifth of a line's width, and let 'patternc measure --tails' find how far the ends of every line run on and what is missing at their starts. It takes into account the delays that the machine file compensated.",
            "'patternc fit blanker' takes speed, tail and missing length; the slopes are the off and the on delay. What lands at the end of a line counts in full as long as it is short against the width of a line: write the target once more with the delays that were found, off_delay a little longer."),
        [
            PatternParameter.Count("speeds", 5, "rows; speeds double from row to row"),
            PatternParameter.Count("dashes", 4, "dashes in a row"),
            PatternParameter.Length("dash", "1.5 um", "length of a dash; gaps are as long"),
            PatternParameter.Length("spacing", "1.5 um", "between rows"),
            PatternParameter.Factor("dose", "1", "dose factor of every line, all times that it is written together"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int speeds = arguments.Count("speeds");
        int dashes = arguments.Count("dashes");
        long dash = arguments.Length("dash");
        long spacing = arguments.Length("spacing");
        PatternDrawing.Require(speeds <= MostSpeeds, "the last row would be written more than 256 times", $"use at most {MostSpeeds} speeds");
        long left = -(2 * dashes - 1) * dash / 2, right = left + (2 * dashes - 1) * dash;
        long bar = spacing / 4, bottom = -spacing * (speeds + 1) / 2, top = spacing * (speeds + 1) / 2;
        drawing.Rectangle(left - spacing - bar, bottom - bar, right + spacing + bar, bottom);
        drawing.Rectangle(left - spacing - bar, top, right + spacing + bar, top + bar);
        drawing.Rectangle(left - spacing - bar, bottom, left - spacing, top);
        drawing.Rectangle(right + spacing, bottom, right + spacing + bar, top);
        for (int row = 0; row < speeds; row++)
        {
            int times = 1 << row;
            DoseFactor dose = DoseFactor.FromValue(arguments.Factor("dose") / times);
            long y = spacing * (2 * row - speeds + 1) / 2;
            for (int i = 0; i < dashes; i++)
            {
                for (int time = 0; time < times; time++)
                {
                    long beside = y + drawing.Nanometres(BesideNanometres) * (2 * time - times + 1) / 2;
                    drawing.Line(left + 2 * i * dash, beside, left + (2 * i + 1) * dash, beside, dose);
                }
            }

            drawing.Label(NumberText.Format(times), left - 2 * spacing, y - spacing / 8, (int)(spacing / 4));
        }
    }
}
