namespace PatternCompiler.Generate.Patterns;

/// <summary>Two combs of slightly different pitch on the two sides of each field border.</summary>
internal static class StitchingVernier
{
    public static readonly TestPattern Pattern = new(
        "stitching-vernier",
        "verniers on all four borders of a field, for stitching errors",
        new PatternGuide(
            "Write two neighbouring fields with this pattern; the stage moves by the field size between them.",
            "On each border find the pair of teeth, one from each field, that stand in line.",
            "Its number, counted from the longest tooth in the middle (every fifth is longer than the others), times the vernier step is the stitching error in that direction."),
        [
            PatternParameter.Length("field", "90 um", "side of the field, border to border"),
            PatternParameter.Length("pitch", "1 um", "from tooth to tooth of the main comb"),
            PatternParameter.Length("step", "20 nm", "reading of one tooth"),
            PatternParameter.Count("teeth", 10, "teeth on each side of the middle one"),
            PatternParameter.Length("length", "2 um", "length of a tooth"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        long half = arguments.Length("field") / 2;
        long pitch = arguments.Length("pitch");
        long step = arguments.Length("step");
        int teeth = arguments.Count("teeth");
        long length = arguments.Length("length");
        long width = pitch / 3;
        PatternDrawing.Require(step < pitch, "one reading is as large as a whole pitch", "make the step smaller than the pitch");
        PatternDrawing.Require((teeth + 1) * pitch < half, "the combs are longer than the border", "use fewer teeth or a smaller pitch");
        for (int i = -teeth; i <= teeth; i++)
        {
            long tooth = i == 0 ? 2 * length : i % 5 == 0 ? length * 3 / 2 : length;
            long main = i * pitch;
            long vernier = i * (pitch + step);
            // The main combs stand inside the left and lower border, the verniers inside the right and upper one, so that
            // two neighbouring fields bring one of each together.
            drawing.Rectangle(-half, main - width / 2, -half + tooth, main + width / 2);
            drawing.Rectangle(half - tooth, vernier - width / 2, half, vernier + width / 2);
            drawing.Rectangle(main - width / 2, -half, main + width / 2, -half + tooth);
            drawing.Rectangle(vernier - width / 2, half - tooth, vernier + width / 2, half);
        }

        drawing.Label(drawing.NanometreText(step) + " nm", 0, 0, (int)length);
    }
}
