using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Limits;

/// <summary>
/// A kind of work or memory that a drawing can ask for without being large itself, and how much of it is allowed: a fixed
/// start, and so much more for each item of the input.
/// </summary>
/// <param name="Key">Key under <c>limits</c> in a job file, which replaces the start.</param>
/// <param name="Asks">How a message begins that says how much is asked for.</param>
/// <param name="Unit">What is counted, in the plural.</param>
/// <param name="Start">Amount that any drawing may ask for.</param>
/// <param name="PerItem">Amount that each item of the input adds; 0 where the limit does not grow.</param>
/// <param name="Item">What an item is, in the singular.</param>
/// <param name="Advice">What to do other than to raise the limit.</param>
public sealed record WorkKind(string Key, string Asks, string Unit, long Start, int PerItem, string Item, string Advice)
{
    /// <summary>Bytes of one line of a text format, or of one attribute, text or comment of an SVG drawing.</summary>
    public static WorkKind Text { get; } = new("text", "this holds", "bytes", 16 << 20, 0, "", "divide the shape, or write its points over several lines");

    /// <summary>
    /// What a reader writes out for repeats, arrays off the grid and references, in statements of a text layout: a placement
    /// counts for two, a letter or an element of SVG for four, long texts for more.
    /// </summary>
    public static WorkKind Expansion { get; } = new(
        "expansion", "this repeats", "shapes and placements", 2_000_000, 0, "", "draw a cell and place it as an array");

    /// <summary>Placements of cells when the drawing is written out flat.</summary>
    public static WorkKind Copies { get; } = new("copies", "written out flat, this drawing has", "copies of cells", 25_000_000, 16, "placement drawn", "check the counts of arrays");

    /// <summary>Points of outlines, lines and curves when the drawing is written out flat.</summary>
    public static WorkKind Vertices { get; } = new(
        "vertices", "written out flat, this drawing has", "points", 100_000_000, 16, "point drawn", "choose fewer layers or a larger chord error, or check the counts of arrays");

    /// <summary>Points of the round corners and ends that an offset makes.</summary>
    public static WorkKind Corners { get; } = new(
        "corners", "moved this far, the outlines need", "points about their corners", 10_000_000, 16, "point drawn", "move them by less, or choose a larger chord error");

    /// <summary>Points in which edges cross, where they are crowded: those beyond the share of the edges nearby.</summary>
    public static WorkKind Crossings { get; } = new(
        "crossings", "the shapes have", "crossings of edges", 4_000_000, 8, "edge nearby", "look for shapes that were drawn or copied over each other many times");

    /// <summary>Figures that a division by size makes.</summary>
    public static WorkKind Figures { get; } = new("figures", "this makes", "divided figures", 20_000_000, 16, "figure", "choose a larger 'fracture.largest_figure'");

    /// <summary>Pieces of figures with a dose of their own.</summary>
    public static WorkKind Pieces { get; } = new("pieces", "this makes", "pieces with a dose of their own", 2_000_000, 8, "figure", "choose a larger 'correct.smallest_piece'");

    /// <summary>Write fields.</summary>
    public static WorkKind Fields { get; } = new("fields", "this needs", "write fields", 100_000, 0, "", "check the extent of the drawing, or choose larger fields");

    /// <summary>Lines that fill areas, and single lines and dots, all passes.</summary>
    public static WorkKind Strokes { get; } = new("strokes", "this needs", "strokes", 1_000_000_000, 64, "figure", "choose a larger line pitch or fewer passes");

    /// <summary>Points that the beam dwells on, all passes.</summary>
    public static WorkKind Points { get; } = new("points", "this needs", "points of the beam", 100_000_000_000, 64, "figure", "choose a larger line pitch and point step, or fewer passes");

    /// <summary>Every kind, in the order of the stages.</summary>
    public static ImmutableArray<WorkKind> All { get; } =
        [Text, Expansion, Copies, Vertices, Corners, Crossings, Figures, Pieces, Fields, Strokes, Points];

    internal DiagnosticCode Code => this == Copies || this == Vertices ? HierarchyCodes.TooLarge : LimitCodes.TooMuchWork;
}
