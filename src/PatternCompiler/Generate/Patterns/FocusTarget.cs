using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.Generate.Patterns;

/// <summary>Short gratings in four directions around a ring target.</summary>
internal static class FocusTarget
{
    private const int Directions = 4;

    public static readonly TestPattern Pattern = new(
        "focus-target",
        "gratings in four directions around rings, for focus and astigmatism",
        new PatternGuide(
            "Write a row of copies, changing focus by a small step between them; then another row for each stigmator.",
            "Compare the four gratings of each copy: in focus all are sharp; with astigmatism one direction is sharp where the one at right angles is blurred.",
            "Keep the focus half way between the two sharpest settings and turn the stigmator until both fall together."),
        [
            PatternParameter.Length("line", "0.1 um", "line width; spaces are as wide"),
            PatternParameter.Count("lines", 15, "lines in each grating"),
            PatternParameter.Length("length", "3 um", "length of the lines"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        long line = arguments.Length("line");
        int lines = arguments.Count("lines");
        long length = arguments.Length("length");
        double across = (2 * lines - 1) * line;
        double ringRadius = length / 2.0;
        double gap = 4 * line;
        double distance = ringRadius + Math.Max(across, length) / 2 + gap;

        // A slanted grating's lowest corner, (length + across) / √8 below its middle, clears the edge of the lying one.
        double slantedDistance = Math.Max(distance, Math.Sqrt(2) * (across / 2 + gap) + (length + across) / 2);
        for (int i = 0; i < 2 * Directions; i++)
        {
            (double sin, double cos) = Trigonometry.SinCos(Math.PI * i / Directions);
            double away = i % 2 == 0 ? distance : slantedDistance;
            Grating(drawing, (away * cos, away * sin), (sin, cos), line, lines, length);
        }

        for (long radius = line; radius + line <= ringRadius; radius += 2 * line)
        {
            drawing.Ring(0, 0, radius, radius + line);
        }

        int cap = (int)(length / 5);
        drawing.Label(drawing.NanometreText(line) + " nm", 0, -(long)(distance + length / 2.0) - 2 * cap, cap);
    }

    private static void Grating(
        PatternDrawing drawing, (double X, double Y) middle, (double Sin, double Cos) turn, long line, int lines, long length)
    {
        for (int i = 0; i < lines; i++)
        {
            double offset = (2 * i - lines + 0.5) * line;
            (double, double) Corner(double along, double across) =>
                (middle.X + along * turn.Cos - across * turn.Sin, middle.Y + along * turn.Sin + across * turn.Cos);
            drawing.Polygon(
            [
                Corner(-length / 2.0, offset), Corner(length / 2.0, offset),
                Corner(length / 2.0, offset + line), Corner(-length / 2.0, offset + line),
            ]);
        }
    }
}
