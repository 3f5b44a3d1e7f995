namespace PatternCompiler.Generate.Patterns;

/// <summary>A grating.</summary>
internal static class Grating
{
    public static readonly TestPattern Pattern = new(
        "grating",
        "equal bars at a pitch",
        new PatternGuide(
            "Write it as a device, or as a test of duty cycle against dose.",
            "Measure pitch and bar width in the middle and at the edges.",
            "A pitch that is off is a scale error of the field; bars that are wider in the middle ask for proximity correction."),
        [
            PatternParameter.Length("pitch", "0.4 um", "from bar to bar"),
            PatternParameter.Factor("duty", "0.5", "bar width over pitch"),
            PatternParameter.Count("bars", 50, "bars"),
            PatternParameter.Length("length", "20 um", "length of the bars"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        long pitch = arguments.Length("pitch");
        double duty = arguments.Factor("duty");
        int bars = arguments.Count("bars");
        long length = arguments.Length("length");
        PatternDrawing.Require(duty < 1, "the bars are wider than their pitch", "set duty below 1");
        long width = (long)Math.Round(pitch * duty, MidpointRounding.AwayFromZero);
        long left = -(pitch * (bars - 1) + width) / 2;
        for (int i = 0; i < bars; i++)
        {
            drawing.Rectangle(left + i * pitch, -length / 2, left + i * pitch + width, length / 2);
        }
    }
}
