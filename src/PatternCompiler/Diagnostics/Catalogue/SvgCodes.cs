namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of SVG drawings.</summary>
internal static class SvgCodes
{
    /// <summary>The file is not well-formed XML.</summary>
    public static readonly DiagnosticCode NotWellFormed = new(
        "PC0401", DiagnosticKind.Input, "not well-formed XML",
        "The file breaks the rules of XML at this place: it is damaged, cut short or edited by hand.");

    /// <summary>The XML is not an SVG drawing.</summary>
    public static readonly DiagnosticCode NotSvg = new(
        "PC0402", DiagnosticKind.Input, "not an SVG drawing",
        "The outermost element of an SVG drawing is `svg` in the namespace http://www.w3.org/2000/svg.");

    /// <summary>Elements nest deeper than any drawing needs, or there are too many.</summary>
    public static readonly DiagnosticCode TooLarge = new(
        "PC0403", DiagnosticKind.Input, "drawing too large",
        "Guards against files made to exhaust the memory: nesting beyond 256 levels, or more than half a million elements copied by `use`.");

    /// <summary>A number or a length cannot be read.</summary>
    public static readonly DiagnosticCode BadNumber = new(
        "PC0404", DiagnosticKind.Input, "number cannot be read",
        "A number is finite, with a point and perhaps an exponent; a length may have one of the units px, pt, pc, mm, cm, Q, in and %.");

    /// <summary>Path data cannot be read on.</summary>
    public static readonly DiagnosticCode BadPath = new(
        "PC0405", DiagnosticKind.Input, "path data is wrong",
        "Viewers draw such a path up to the fault. An exposure must not be cut short unseen, so that it is an error here.");

    /// <summary>A transform cannot be read.</summary>
    public static readonly DiagnosticCode BadTransform = new(
        "PC0406", DiagnosticKind.Input, "transform is wrong",
        "Transforms are a list of matrix, translate, scale, rotate, skewX and skewY with their numbers in brackets.");

    /// <summary>A referenced element does not exist.</summary>
    public static readonly DiagnosticCode MissingReference = new(
        "PC0407", DiagnosticKind.Input, "reference leads nowhere",
        "A `use` element copies another element of the same file by its id. Elements of other files are never fetched.");

    /// <summary>Elements copy each other in a circle.</summary>
    public static readonly DiagnosticCode CircularUse = new(
        "PC0408", DiagnosticKind.Input, "elements copy themselves",
        "A `use` element that copies an element it stands in would be endless.");

    /// <summary>A shape lies beyond the grid.</summary>
    public static readonly DiagnosticCode BeyondGrid = new(
        "PC0409", DiagnosticKind.Input, "shape beyond the grid",
        "Coordinates are whole grid steps within ±(2^30 − 1), which is ±107 mm on a grid of 0.1 nm. Drawings of a page in millimetres may need a stated unit or a coarser grid.");

    /// <summary>Note: an element that draws nothing here.</summary>
    public static readonly DiagnosticCode Ignored = new(
        "PC0410", DiagnosticKind.Remark, "element ignored",
        "Viewers show nothing of this element either: it is hidden, transparent, has neither fill nor stroke, or no area.");

    /// <summary>Note or warning: the size of the drawing.</summary>
    public static readonly DiagnosticCode Size = new(
        "PC0412", DiagnosticKind.Doubt, "size of the drawing",
        "SVG writers differ in what a unit without a name means; 96 px are one inch by the standard, but older programs used 72 or 90. Compare the printed size with the one you drew.");

    /// <summary>Note: a stroke without a width of its own.</summary>
    public static readonly DiagnosticCode Hairline = new(
        "PC0413", DiagnosticKind.Remark, "stroke without width",
        "A stroke with `vector-effect: non-scaling-stroke` is as wide on the screen at any scale: the drawing gives it no width. It is read as a line at the line dose, and as a dot where it has no length. Drawings written by this program hold their lines and dots in this way.");

    /// <summary>The document type has declarations.</summary>
    public static readonly DiagnosticCode Declarations = new(
        "PC0415", DiagnosticKind.Input, "declarations in the document type",
        "Declarations between the square brackets of a DOCTYPE can define entities: shorthands that a reader would have to expand, without end or from other files if the drawing is made to do harm. A drawing does not need them; a plain DOCTYPE is accepted and never fetched.");

    /// <summary>A feature that changes what is covered is not read.</summary>
    public static readonly DiagnosticCode NotRead = new(
        "PC0480", DiagnosticKind.Input, "feature not read",
        "What the drawing says here changes what it covers, and this reader does not follow it: clip paths, masks, filters, dashes, markers, patterns, animations, style sheets with conditions and the like. Exposing the drawing without it would write another pattern than a viewer shows. In the drawing program, turn the result into plain paths.");

    /// <summary>Warning: an element would be exposed, but is not read.</summary>
    public static readonly DiagnosticCode Lost = new(
        "PC0481", DiagnosticKind.Loss, "element lost",
        "Viewers show this element, but it has no outline that could be exposed as it stands: text, pictures, foreign content. In the drawing program, turn text into paths and trace pictures.");

    /// <summary>Note: the drawing leaves a choice that changes what is covered.</summary>
    public static readonly DiagnosticCode Choice = new(
        "PC0482", DiagnosticKind.Remark, "choice of what is exposed",
        "An exposure knows no half tones and no page: what is partly transparent is exposed like the rest, and so is what reaches beyond the page, where a viewer would cut it.");

    /// <summary>An option does not fit.</summary>
    public static readonly DiagnosticCode BadOption = new(
        "PC0414", DiagnosticKind.Input, "option out of range",
        "Grid, unit and chord error are lengths above zero, and the chord error is not far below the grid step.");
}
