namespace PatternCompiler.Generate.Patterns;

/// <summary>Evenly spaced single lines across the converter's large code changes.</summary>
internal static class DacTarget
{
    public static readonly TestPattern Pattern = new(
        "dac-target",
        "evenly spaced single lines across the middle and the quarters of the range",
        new PatternGuide(
            "Write it with the pitch set to a whole number of codes (field width / 2^bits × n), calibration switched off.",
            "Measure the gap between neighbouring lines. In the middle and at the quarters of the field many bits change at once: a gap that differs there, and only there, is the converter's major-carry error.",
            "Gap minus mean gap is the differential nonlinearity there; summed along the field it is the integral nonlinearity, for the per-code table of the machine file."),
        [
            PatternParameter.Length("field", "100 um", "width of the field"),
            PatternParameter.Length("pitch", "0.3 um", "from line to line"),
            PatternParameter.Count("lines", 12, "lines on each side of a code change"),
            PatternParameter.Length("length", "4 um", "length of the lines"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        long field = arguments.Length("field");
        long pitch = arguments.Length("pitch");
        int lines = arguments.Count("lines");
        long length = arguments.Length("length");
        PatternDrawing.Require(2 * lines * pitch < field / 4, "neighbouring groups of lines overlap", "use fewer lines or a smaller pitch");
        for (int quarter = -1; quarter <= 1; quarter++)
        {
            long centre = quarter * field / 4;
            for (int i = -lines; i < lines; i++)
            {
                // Lines stand half a pitch off the code change, so that the change lies in the middle of a gap.
                long offset = centre + pitch * (2 * i + 1) / 2;
                drawing.Line(offset, length, offset, 2 * length);
                drawing.Line(-2 * length, offset, -length, offset);
            }

            drawing.Label(quarter == 0 ? "1/2" : quarter < 0 ? "1/4" : "3/4", centre, length * 5 / 2, (int)(length / 3));
        }
    }
}
