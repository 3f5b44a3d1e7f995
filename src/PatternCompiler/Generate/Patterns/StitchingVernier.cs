namespace PatternCompiler.Generate.Patterns;

/// <summary>
/// Two combs of slightly different pitch on the two sides of each field border. Teeth end short of it, so that both ends of a tooth
/// can be seen and none is cut by it.
/// </summary>
internal static class StitchingVernier
{
    public static readonly TestPattern Pattern = new(
        "stitching-vernier",
        "verniers on all four borders of a field, for stitching errors",
        new PatternGuide(
            "Write two neighbouring fields with this pattern; the stage moves by the field size between them. With --columns or --rows both are in one drawing, for a job with fields of that size and no margin.",
            "On each border find the pair of teeth, one from each field, that stand in line; or take a micrograph of both combs and let 'patternc measure --verniers' tell the offset in both directions.",
            "Its number, counted from the longest tooth in the middle (every fifth is longer than the others), times the vernier step is the stitching error in that direction."),
        [
            PatternParameter.Length("field", "90 um", "side of the field, border to border"),
            PatternParameter.Length("pitch", "1 um", "from tooth to tooth of the main comb"),
            PatternParameter.Length("step", "20 nm", "reading of one tooth"),
            PatternParameter.Count("teeth", 10, "teeth on each side of the middle one"),
            PatternParameter.Length("length", "2 um", "length of a tooth"),
            PatternParameter.Length("gap", "0.3 um", "from the border to the teeth"),
            PatternParameter.Count("columns", 1, "fields side by side"),
            PatternParameter.Count("rows", 1, "fields above one another"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        long field = arguments.Length("field");
        int columns = arguments.Count("columns");
        int rows = arguments.Count("rows");
        for (int row = 0; row < rows; row++)
        {
            for (int column = 0; column < columns; column++)
            {
                DrawField(arguments, drawing, field * (2 * column - columns + 1) / 2, field * (2 * row - rows + 1) / 2);
            }
        }
    }

    private static void DrawField(PatternArguments arguments, PatternDrawing drawing, long x, long y)
    {
        long pitch = arguments.Length("pitch");
        long step = arguments.Length("step");
        int teeth = arguments.Count("teeth");
        long length = arguments.Length("length");
        long width = pitch / 3;
        long half = arguments.Length("field") / 2 - arguments.Length("gap");
        PatternDrawing.Require(step < pitch, "one reading is as large as a whole pitch", "make the step smaller than the pitch");
        PatternDrawing.Require((teeth + 1) * pitch < half, "the combs are longer than the border", "use fewer teeth or a smaller pitch");
        for (int i = -teeth; i <= teeth; i++)
        {
            long tooth = i == 0 ? 2 * length : i % 5 == 0 ? length * 3 / 2 : length;
            long main = i * pitch;
            long vernier = i * (pitch + step);
            // The main combs stand inside the left and lower border, the verniers inside the right and upper one, so that
            // two neighbouring fields bring one of each together.
            drawing.Rectangle(x - half, y + main - width / 2, x - half + tooth, y + main + width / 2);
            drawing.Rectangle(x + half - tooth, y + vernier - width / 2, x + half, y + vernier + width / 2);
            drawing.Rectangle(x + main - width / 2, y - half, x + main + width / 2, y - half + tooth);
            drawing.Rectangle(x + vernier - width / 2, y + half - tooth, x + vernier + width / 2, y + half);
        }

        drawing.Label(drawing.NanometreText(step) + " nm", x, y, (int)length);
    }
}
