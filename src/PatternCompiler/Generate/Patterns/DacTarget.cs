namespace PatternCompiler.Generate.Patterns;

/// <summary>Evenly spaced single lines across the converter's large code changes.</summary>
internal static class DacTarget
{
    public static readonly TestPattern Pattern = new(
        "dac-target",
        "evenly spaced single lines across the large code changes, between bars, and scales along the whole field",
        new PatternGuide(
            "Write it with the pitch set to a whole number of codes (field width / 2^bits × n), calibration switched off.",
            "Measure the gap between neighbouring lines, and the place of every line of the two long scales. In the middle and at the quarters of the field many bits change at once: a gap that differs there, and only there, is the converter's major-carry error.",
            "Gap minus mean gap is the differential nonlinearity at a code change. A scale line's distance from where it should be, less a straight line through all of them, is the integral nonlinearity: 'patternc fit converter' takes places and offsets of lines ('patternc measure --offsets') and prints 'linearity_x' and 'linearity_y' for the machine file. 'patternc fit field' takes what is smooth. A voltmeter tells more, without a sample: 'patternc generate converter-readings'."),
        [
            PatternParameter.Length("field", "100 um", "width of the field"),
            PatternParameter.Length("pitch", "0.3 um", "from line to line"),
            PatternParameter.Count("lines", 12, "lines on each side of a code change"),
            PatternParameter.Length("length", "4 um", "length of the long lines; the others have a third of it"),
            PatternParameter.Count("scale-lines", 33, "lines of each scale, evenly over 80 % of the field"),
        ],
        Draw);

    // Lines are long and short as numbers are squares modulo a prime or not, an order that never looks like itself moved along (after
    // Legendre): a picture of even lines fits in many places.
    private const int Prime = 103;
    private static readonly HashSet<int> Squares = [.. Enumerable.Range(1, Prime - 1).Select(number => number * number % Prime)];

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        long field = arguments.Length("field");
        long pitch = arguments.Length("pitch");
        int lines = arguments.Count("lines");
        long length = arguments.Length("length");
        PatternDrawing.Require(2 * (lines + 3) * pitch < field / 4, "neighbouring groups of lines overlap", "use fewer lines or a smaller pitch");
        for (int quarter = -1; quarter <= 1; quarter++)
        {
            long centre = quarter * field / 4;
            for (int i = -lines; i < lines; i++)
            {
                // Lines stand half a pitch off the code change, so that the change lies in the middle of a gap.
                long offset = centre + pitch * (2 * i + 1) / 2;
                long reach = Squares.Contains((2 * lines * (quarter + 1) + i + lines + 1) % Prime) ? length : length / 3;
                drawing.Line(offset, length, offset, length + reach);
                drawing.Line(-length - reach, offset, -length, offset);
            }

            // A bar at either end of each group, clear of those of the other axis: its edges are what a picture is measured by.
            long foot = pitch * lines + 2 * pitch, head = foot + pitch;
            foreach (int side in (int[])[-1, 1])
            {
                (long near, long far) = (centre + side * foot, centre + side * head);
                drawing.Rectangle(Math.Min(near, far), length * 5 / 4, Math.Max(near, far), 2 * length);
                drawing.Rectangle(-2 * length, Math.Min(near, far), -length * 5 / 4, Math.Max(near, far));
            }

            string name = quarter == 0 ? "1/2" : quarter < 0 ? "1/4" : "3/4";
            int cap = (int)(length / 3);
            drawing.Label("x " + name, centre, length * 5 / 2, cap);
            drawing.Label("y " + name, -length * 7 / 2, centre - cap / 2, cap);
        }

        DrawScales(drawing, field, length, arguments.Count("scale-lines"));
    }

    // Along the lower and the left border: everywhere clear of the groups, and of each other.
    private static void DrawScales(PatternDrawing drawing, long field, long length, int lines)
    {
        long foot = -field * 46 / 100;
        for (int i = 0; i < lines; i++)
        {
            long place = lines == 1 ? 0 : field * (2 * i - lines + 1) / (lines - 1) * 2 / 5;
            long end = foot + (i % 4 == 0 ? length / 2 : length / 4);
            drawing.Line(place, foot, place, end);
            drawing.Line(foot, place, end, place);
        }
    }
}
