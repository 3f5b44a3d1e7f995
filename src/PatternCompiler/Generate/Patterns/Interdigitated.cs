namespace PatternCompiler.Generate.Patterns;

/// <summary>Two combs of electrodes that reach between each other, with their pads.</summary>
internal static class Interdigitated
{
    public static readonly TestPattern Pattern = new(
        "interdigitated",
        "two combs of electrodes with contact pads",
        new PatternGuide(
            "Write it as a device: a humidity sensor once the gaps are covered with a sensitive film.",
            "Measure finger and gap width, and the resistance between the pads before coating: anything but open is a bridge.",
            "Bridged or broken fingers show the dose that is too high or too low; compare with the dose matrix."),
        [
            PatternParameter.Count("fingers", 30, "fingers of both combs together"),
            PatternParameter.Length("finger", "0.5 um", "finger width"),
            PatternParameter.Length("gap", "0.5 um", "gap between neighbouring fingers"),
            PatternParameter.Length("overlap", "20 um", "length over which the combs face each other"),
            PatternParameter.Length("end-gap", "1 um", "from a finger's end to the other comb's bus"),
            PatternParameter.Length("bus", "2 um", "width of the buses"),
            PatternParameter.Length("pad", "20 um", "side of the pads"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int fingers = arguments.Count("fingers");
        long finger = arguments.Length("finger");
        long pitch = finger + arguments.Length("gap");
        long reach = arguments.Length("overlap") / 2;
        long busInner = reach + arguments.Length("end-gap");
        long busOuter = busInner + arguments.Length("bus");
        long pad = arguments.Length("pad");
        long width = (fingers - 1) * pitch + finger;
        long left = -width / 2;
        for (int i = 0; i < fingers; i++)
        {
            long x = left + i * pitch;
            bool upper = i % 2 == 0;
            drawing.Rectangle(x, upper ? -reach : -busInner, x + finger, upper ? busInner : reach);
        }

        foreach (int side in new[] { 1, -1 })
        {
            drawing.Rectangle(left, Math.Min(side * busInner, side * busOuter), left + width, Math.Max(side * busInner, side * busOuter));
            drawing.Rectangle(-pad / 2, Math.Min(side * busOuter, side * (busOuter + pad)), pad / 2, Math.Max(side * busOuter, side * (busOuter + pad)));
        }
    }
}
