namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults met while cells are resolved into flat areas, lines and dots.</summary>
internal static class HierarchyCodes
{
    /// <summary>A cell is placed that the document does not hold.</summary>
    public static readonly DiagnosticCode MissingCell = new(
        "PC1021", DiagnosticKind.Input, "missing cell",
        "A placement names a cell that is not in the document, so part of the drawing would be left out.");

    /// <summary>Cells that place each other in a circle.</summary>
    public static readonly DiagnosticCode CellCycle = new(
        "PC1022", DiagnosticKind.Input, "cells contain each other",
        "A cell that contains itself, directly or through others, would be endless.");

    /// <summary>Cells nest deeper than any drawing needs.</summary>
    public static readonly DiagnosticCode TooDeep = new(
        "PC1023", DiagnosticKind.Input, "cells nest too deep",
        "Drawings nest a few dozen cells deep at most; a deeper nest is a damaged or malicious file.");

    /// <summary>The flat drawing would not fit the memory.</summary>
    public static readonly DiagnosticCode TooLarge = new(
        "PC1024", DiagnosticKind.Input, "drawing too large",
        "Arrays are cheap until they are written out. The count of copies multiplies along the nest of cells; one wrong number of columns is enough.");

    /// <summary>A layer is chosen that the drawing does not have.</summary>
    public static readonly DiagnosticCode UnknownLayer = new(
        "PC1025", DiagnosticKind.Input, "unknown layer",
        "The chosen layer would add nothing to the exposure; most likely its name is mistyped.");

    /// <summary>Nothing is drawn on the chosen layers.</summary>
    public static readonly DiagnosticCode NothingDrawn = new(
        "PC1026", DiagnosticKind.Input, "nothing to write",
        "The chosen layers hold no shape, so there is nothing to expose.");

    /// <summary>A placed shape lies beyond the grid.</summary>
    public static readonly DiagnosticCode BeyondGrid = new(
        "PC1027", DiagnosticKind.Input, "shape beyond the grid",
        "Coordinates are whole grid steps within ±(2^30 − 1), which is ±107 mm on a grid of 0.1 nm. A coarser grid reaches further.");

    /// <summary>Shapes or copies of cells repeat others on the same place.</summary>
    public static readonly DiagnosticCode Repeated = new(
        "PC1070", DiagnosticKind.Input, "drawn twice on one place",
        "A shape or a copy of a cell lies exactly on another one, at the same dose: an array with a step of zero, or something pasted twice. " +
        "It is written once. More dose at a place is drawn with a dose factor.");

    /// <summary>Shapes that rounding leaves without area.</summary>
    public static readonly DiagnosticCode Vanished = new(
        "PC1091", DiagnosticKind.Loss, "smaller than the grid",
        "A cell is placed turned or made smaller, and the corners of one of its shapes, rounded to the grid, enclose nothing any more. It would not be exposed.");

    /// <summary>The dose steps of an array leave the range of dose factors.</summary>
    public static readonly DiagnosticCode DoseBeyondRange = new(
        "PC1028", DiagnosticKind.Input, "dose factor out of range",
        "A dose factor lies between 0 and 2000; the steps of an array add up from its first copy to its last.");
}
