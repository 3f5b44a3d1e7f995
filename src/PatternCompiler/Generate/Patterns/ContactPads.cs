namespace PatternCompiler.Generate.Patterns;

/// <summary>A ring of contact pads whose leads narrow towards the middle.</summary>
internal static class ContactPads
{
    public static readonly TestPattern Pattern = new(
        "contact-pads",
        "contact pads around the field with leads to the middle",
        new PatternGuide(
            "Write it around a device in the middle. Large pads are best written in a separate pass with more current and a coarser pitch.",
            "Look at the seams where leads meet pads: a step shows a shift between the two passes.",
            "The shift between passes goes into the alignment of the second pass."),
        [
            PatternParameter.Count("pads", 4, "pads on each side"),
            PatternParameter.Length("field", "90 um", "side of the square that the pads fill"),
            PatternParameter.Length("pad", "14 um", "side of a pad"),
            PatternParameter.Length("lead", "1 um", "width of a lead at its inner end"),
            PatternParameter.Length("centre", "20 um", "side of the square in the middle that stays free"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int pads = arguments.Count("pads");
        double half = arguments.Length("field") / 2.0;
        double pad = arguments.Length("pad");
        double lead = arguments.Length("lead");
        double centre = arguments.Length("centre") / 2.0;
        double pitch = (2 * half - 2 * pad) / pads;
        PatternDrawing.Require(pad <= pitch, "the pads do not fit side by side", "use fewer or smaller pads, or a larger field");
        PatternDrawing.Require(centre < half - pad, "the free middle reaches the pads", "make the middle smaller");
        PatternDrawing.Require(pads * lead * 2 <= 2 * centre, "the leads do not fit side by side in the middle", "use narrower leads");
        for (int side = 0; side < 4; side++)
        {
            (double sin, double cos) = side switch { 0 => (0.0, 1.0), 1 => (1.0, 0.0), 2 => (0.0, -1.0), _ => (-1.0, 0.0) };
            (double, double) Turn(double x, double y) => (x * cos - y * sin, x * sin + y * cos);
            for (int i = 0; i < pads; i++)
            {
                double outerMiddle = pitch * (2 * i - pads + 1) / 2;
                double innerMiddle = 2 * centre / pads * (2 * i - pads + 1) / 2;
                drawing.Polygon(
                [
                    Turn(outerMiddle - pad / 2, half), Turn(outerMiddle - pad / 2, half - pad),
                    Turn(innerMiddle - lead / 2, centre), Turn(innerMiddle + lead / 2, centre),
                    Turn(outerMiddle + pad / 2, half - pad), Turn(outerMiddle + pad / 2, half),
                ]);
            }
        }
    }
}
