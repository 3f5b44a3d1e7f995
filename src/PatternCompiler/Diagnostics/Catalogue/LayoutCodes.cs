namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of the text layout.</summary>
internal static class LayoutCodes
{
    /// <summary>The first line is not the one that opens a text layout.</summary>
    public static readonly DiagnosticCode NotALayout = new(
        "PC0201", DiagnosticKind.Input, "not a text layout",
        "A text layout opens with the line `layout 1`; the number is the version of the language. Without it the file cannot be told from any other text.");

    /// <summary>A line starts with a word that opens no statement.</summary>
    public static readonly DiagnosticCode UnknownStatement = new(
        "PC0202", DiagnosticKind.Input, "unknown statement",
        "Every line starts with the word of a statement, or with a point or `hole` that continues the shape above it.");

    /// <summary>A statement has no argument of this name.</summary>
    public static readonly DiagnosticCode UnknownArgument = new(
        "PC0203", DiagnosticKind.Input, "unknown argument",
        "Each statement takes its own set of named arguments. A name it does not know would be ignored, and the drawing would not be what was meant.");

    /// <summary>Something else was expected at this place.</summary>
    public static readonly DiagnosticCode Syntax = new(
        "PC0204", DiagnosticKind.Input, "unexpected text",
        "The line cannot be read on from this place: the message says what could have followed. The language is described beside its reader.");

    /// <summary>A statement lacks an argument that it needs.</summary>
    public static readonly DiagnosticCode MissingArgument = new(
        "PC0205", DiagnosticKind.Input, "missing argument",
        "The statement does not say enough to draw it; nothing is guessed.");

    /// <summary>An argument is given twice, or two arguments exclude each other.</summary>
    public static readonly DiagnosticCode ConflictingArguments = new(
        "PC0206", DiagnosticKind.Input, "conflicting arguments",
        "Two arguments say the same thing, perhaps differently; which one is meant cannot be told, so neither is taken.");

    /// <summary>A length without a unit, and the document has no default unit.</summary>
    public static readonly DiagnosticCode NoUnit = new(
        "PC0207", DiagnosticKind.Input, "length without a unit",
        "A bare number counts in the document's default unit. Without a `unit` line there is none, and a guess could be wrong by a factor of a thousand.");

    /// <summary>A length stands where a plain number is needed, an area where a length is needed, and so on.</summary>
    public static readonly DiagnosticCode WrongDimension = new(
        "PC0208", DiagnosticKind.Input, "wrong dimension",
        "Lengths, areas and plain numbers do not mix; only a plain number beside a length counts in the default unit.");

    /// <summary>A value lies outside what its place allows.</summary>
    public static readonly DiagnosticCode OutOfRange = new(
        "PC0209", DiagnosticKind.Input, "value out of range",
        "Coordinates are whole grid steps within ±(2^30 − 1), which is ±107 mm on a grid of 0.1 nm; dose factors lie between 0 and 2000; counts are 1 or more. A coarser grid reaches further.");

    /// <summary>A shape names a layer that is not declared.</summary>
    public static readonly DiagnosticCode UnknownLayer = new(
        "PC0210", DiagnosticKind.Input, "unknown layer",
        "Layers are declared, one line each, before they are drawn on: a mistyped name would otherwise make a new layer that nobody writes.");

    /// <summary>A cell is placed that is defined nowhere.</summary>
    public static readonly DiagnosticCode UnknownCell = new(
        "PC0211", DiagnosticKind.Input, "unknown cell",
        "A placed cell is defined somewhere in the document or in a file that it includes, before or after.");

    /// <summary>A name is defined a second time, or is reserved.</summary>
    public static readonly DiagnosticCode NameTaken = new(
        "PC0212", DiagnosticKind.Input, "name is taken",
        "Cells and parameters are defined once; words of the arithmetic cannot name a parameter.");

    /// <summary>Cells that place each other in a circle.</summary>
    public static readonly DiagnosticCode CellCycle = new(
        "PC0213", DiagnosticKind.Input, "cells contain each other",
        "A cell that contains itself, directly or through others, would be endless.");

    /// <summary>A shape that covers nothing once it is on the grid.</summary>
    public static readonly DiagnosticCode EmptyShape = new(
        "PC0214", DiagnosticKind.Input, "shape covers nothing",
        "An area needs a width, a height or a radius of at least one grid step, a ring of a polygon three points, a line two.");

    /// <summary>A block is not ended, or ended twice, or stands where it must not.</summary>
    public static readonly DiagnosticCode BlockStructure = new(
        "PC0215", DiagnosticKind.Input, "blocks do not match",
        "Every `cell` and every `repeat` is closed by its own `end`; cells stand at the top level.");

    /// <summary>A name in a formula stands for nothing.</summary>
    public static readonly DiagnosticCode UnknownParameter = new(
        "PC0216", DiagnosticKind.Input, "unknown parameter",
        "A parameter is defined by `let` above its use, in the same block or one around it.");

    /// <summary>A formula has no value.</summary>
    public static readonly DiagnosticCode Arithmetic = new(
        "PC0217", DiagnosticKind.Input, "formula without a value",
        "Division by zero, a root of a negative number, or a number with more than 28 digits before the point.");

    /// <summary>The document asks for more than can be meant.</summary>
    public static readonly DiagnosticCode TooMuch = new(
        "PC0218", DiagnosticKind.Input, "too much",
        "Guards against a mistyped count that would fill the memory: repeated statements, letters, length of a line, depth of repeats, formulas and includes. Arrays of cells stay small however many copies they make.");

    /// <summary>An included file cannot be had.</summary>
    public static readonly DiagnosticCode Include = new(
        "PC0219", DiagnosticKind.Input, "include fails",
        "Included files are looked up beside the file that includes them.");

    /// <summary>A statement stands where it must not.</summary>
    public static readonly DiagnosticCode Misplaced = new(
        "PC0220", DiagnosticKind.Input, "statement at the wrong place",
        "`unit`, `grid` and `drawing` describe the whole document and come before everything else.");

    /// <summary>Note: lengths fell between grid points.</summary>
    public static readonly DiagnosticCode Rounded = new(
        "PC0221", DiagnosticKind.Remark, "lengths rounded to the grid",
        "Each length is rounded once, to the nearest grid step, halves away from zero. A finer grid keeps more of it.");
}
