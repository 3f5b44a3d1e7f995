namespace PatternCompiler.Generate.Patterns;

/// <summary>A square grid of crosses, each with a name of its own.</summary>
internal static class FieldGrid
{
    public static readonly TestPattern Pattern = new(
        "field-grid",
        "a grid of crosses with unique names, for the field's distortion",
        new PatternGuide(
            "Write it over the whole field with the calibration switched off (identity).",
            "Measure where each cross really is, with a stage or a microscope that you trust; keep the names to tell them apart. A picture that the same deflection scans hides the distortion: it errs alike when it writes and when it looks. Without such a measure, picture the crosses over the whole field by the same deflection, then with the sample turned by about 90 degrees, and moved by some pitches along x and along y ('patternc measure --turned --seen'): what does not turn and move with the sample is the field's.",
            "'patternc fit field' takes commanded and measured positions, or the views, and prints the calibration for the machine file."),
        [
            PatternParameter.Count("marks", 7, "crosses in a row and in a column, up to 26"),
            PatternParameter.Length("pitch", "14 um", "from cross to cross"),
            PatternParameter.Length("arm", "2 um", "from a cross's middle to its end"),
            PatternParameter.Length("width", "0.3 um", "line width of the crosses"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int marks = arguments.Count("marks");
        long pitch = arguments.Length("pitch");
        long arm = arguments.Length("arm");
        long width = arguments.Length("width");
        PatternDrawing.Require(marks <= 26, "there are more columns than letters", "use at most 26 marks a side");
        PatternDrawing.Require(width < 2 * arm, "the crosses are wider than long", "make the width less than twice the arm");
        PatternDrawing.Require(pitch >= 4 * arm, "the crosses and their names overlap", "make the pitch at least four times the arm");
        for (int row = 0; row < marks; row++)
        {
            for (int column = 0; column < marks; column++)
            {
                long x = pitch * (2 * column - marks + 1) / 2;
                long y = pitch * (2 * row - marks + 1) / 2;
                drawing.Cross(x, y, arm, width);
                drawing.Label($"{(char)('A' + column)}{row + 1}", x + arm, y + arm / 2, (int)(arm / 2));
            }
        }
    }
}
