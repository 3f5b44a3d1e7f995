namespace PatternCompiler.Generate.Patterns;

/// <summary>Blocks of lines and spaces of falling width, upright and lying.</summary>
internal static class LineSpace
{
    public static readonly TestPattern Pattern = new(
        "line-space",
        "blocks of equal lines and spaces, upright and lying, of falling width",
        new PatternGuide(
            "Write it at the dose found with the dose matrix; repeat at a few doses around it.",
            "Find the narrowest block whose lines are apart and unbroken, in both directions. Different limits in x and y point at astigmatism or at coils that lag.",
            "Line width against drawn width gives the bias for the process file; a width that grows with density asks for proximity correction."),
        [
            PatternParameter.Count("blocks", 6, "widths"),
            PatternParameter.Length("widest", "1 um", "line width of the first block"),
            PatternParameter.Factor("ratio", "0.7", "each block's width over the one before"),
            PatternParameter.Length("block", "10 um", "side of a block"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int blocks = arguments.Count("blocks");
        double width = arguments.Length("widest");
        double ratio = arguments.Factor("ratio");
        long block = arguments.Length("block");
        PatternDrawing.Require(ratio <= 1, "the ratio is above 1, so that the lines grow", "set ratio to 1 or less");
        PatternDrawing.Require(4 * width <= block, "the widest lines do not fit their block twice", "make the block at least four times the widest line");
        for (int i = 0; i < blocks; i++, width *= ratio)
        {
            // Whole nanometres, so that the label tells the exact width.
            long line = drawing.Nanometres(Math.Round(drawing.ToNanometres((long)Math.Round(width)), MidpointRounding.AwayFromZero));
            PatternDrawing.Require(line >= 1, "the narrowest lines are thinner than a nanometre", "use fewer blocks or a larger ratio");
            long x = block * 3 * (2 * i - blocks + 1) / 4 - block / 2;
            for (long offset = 0; offset + line <= block; offset += 2 * line)
            {
                drawing.Rectangle(x + offset, block / 4, x + offset + line, block / 4 + block);
                drawing.Rectangle(x, -block / 4 - block + offset, x + block, -block / 4 - block + offset + line);
            }

            drawing.Label(drawing.NanometreText(line), x + block / 2, -block / 20, (int)(block / 8));
        }
    }
}
