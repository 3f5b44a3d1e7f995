using PatternCompiler.Units;

namespace PatternCompiler.Generate.Patterns;

/// <summary>Long single lines along both axes, written so slowly that hum of the mains bends them, beside a scale of ticks.</summary>
internal static class HumTarget
{
    public static readonly TestPattern Pattern = new(
        "hum-target",
        "long, slow single lines along both axes, for hum of the mains",
        new PatternGuide(
            "Write it in one pass (job: fill: {passes: 1, trigger: figure} where the machine has a trigger input, so that every line starts at the same phase of the mains). A line takes its length × line dose × its factor / beam current, which should be 2 periods of the mains or more, and not just 2 where the drift is unknown; raise the length or the dose factor until it is. Where the lines come out too wide, take a smaller beam current.",
            "Take a micrograph of each line, and measure where its middle lies, every 200 nm or so: the displacement of a horizontal line is y, that of a vertical one x. The short bars stand every 'tick' beside it and tell the position along it. A micrograph whose own rows take a long time shows the hum of the microscope on top: take the fastest scan that is sharp, and average.",
            "'patternc fit hum' takes line, position along the line from where it was begun (left or below) and displacement, with the speed, beam current / line dose. It prints amplitude and phase at the mains frequency, twice and three times it, for the machine file."),
        [
            PatternParameter.Count("lines", 3, "lines along each axis"),
            PatternParameter.Length("length", "60 um", "length of a line"),
            PatternParameter.Length("spacing", "3 um", "from line to line"),
            PatternParameter.Length("tick", "5 um", "from bar to bar of the scale"),
            PatternParameter.Factor("dose", "1", "dose factor of the lines"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int lines = arguments.Count("lines");
        long length = arguments.Length("length");
        long spacing = arguments.Length("spacing");
        long tick = arguments.Length("tick");
        DoseFactor dose = DoseFactor.FromValue(arguments.Factor("dose"));
        PatternDrawing.Require(length >= 2 * tick, "a line is shorter than two steps of its scale", "use longer lines or a finer scale");
        PatternDrawing.Require(tick >= spacing / 2, "the bars of the scale lie closer than they are long", "use a coarser scale or a smaller spacing");
        long half = length / 2;
        long bar = spacing / 4;
        long width = spacing / 10;
        long below = -(long)lines * spacing / 2;

        // The vertical lines begin above the horizontal ones.
        long bottom = below - half + lines * spacing;
        for (int line = 0; line < lines; line++)
        {
            long at = below + line * spacing;
            drawing.Line(-half, at - half, half, at - half, dose);
            drawing.Line(at - half, bottom, at - half, bottom + length, dose);
            for (long mark = 0; mark <= length; mark += tick)
            {
                drawing.Rectangle(mark - half - width / 2, at - half + bar, mark - half + width / 2, at - half + 2 * bar);
                drawing.Rectangle(at - half + bar, bottom + mark - width / 2, at - half + 2 * bar, bottom + mark + width / 2);
            }
        }
    }
}
