namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of GDSII streams.</summary>
internal static class GdsiiCodes
{
    /// <summary>Not a GDSII stream at all.</summary>
    public static readonly DiagnosticCode NotGdsii = new("PC0501", DiagnosticKind.Input, "not a GDSII stream",
        "A GDSII stream begins with a HEADER record (bytes 00 06 00 02) followed by BGNLIB, LIBNAME and UNITS. This input does not.");

    /// <summary>The stream stops in the middle.</summary>
    public static readonly DiagnosticCode Truncated = new("PC0502", DiagnosticKind.Input, "truncated GDSII stream",
        "The stream ends before its ENDLIB record, so cells or shapes are missing. Export or copy it again.");

    /// <summary>A record that cannot be.</summary>
    public static readonly DiagnosticCode BadRecord = new("PC0503", DiagnosticKind.Input, "malformed record",
        "A record has a length, type or place that the format does not allow. Everything after it would be misread. Export the stream again.");

    /// <summary>An element that lacks something or contradicts itself.</summary>
    public static readonly DiagnosticCode BadElement = new("PC0504", DiagnosticKind.Input, "impossible element",
        "An element lacks a record that it cannot do without, or has a value that makes no sense, such as an array of no columns.");

    /// <summary>A coordinate beyond the range.</summary>
    public static readonly DiagnosticCode OutOfRange = new("PC0505", DiagnosticKind.Input, "coordinate out of range",
        "Coordinates are held as whole grid steps within ±2^30; on the default grid of 0.1 nm that is ±107 mm. Choose a coarser grid or move the drawing to the origin.");

    /// <summary>A reference to an unknown cell.</summary>
    public static readonly DiagnosticCode UnknownCell = new("PC0506", DiagnosticKind.Input, "unknown cell",
        "A reference places a cell that the stream does not define, so part of the pattern would be missing. It may live in a library that was not exported with it.");

    /// <summary>A cell that contains itself.</summary>
    public static readonly DiagnosticCode CellCycle = new("PC0507", DiagnosticKind.Input, "cell contains itself",
        "A cell that places itself, directly or through other cells, has no finite shape.");

    /// <summary>Nesting beyond the limit.</summary>
    public static readonly DiagnosticCode NestingTooDeep = new("PC0508", DiagnosticKind.Input, "cells nested too deep",
        "Cells may be nested 256 deep. A stream that goes further is damaged or built to exhaust memory.");

    /// <summary>Several cells that nothing places.</summary>
    public static readonly DiagnosticCode TopCellUnclear = new("PC0509", DiagnosticKind.Input, "top cell unclear",
        "The drawing is the one cell that no other cell places. This stream has none or several of them: name the one to expose.");

    /// <summary>Two cells of one name.</summary>
    public static readonly DiagnosticCode DuplicateCell = new("PC0510", DiagnosticKind.Input, "cell defined twice",
        "Two cells have the same name, so that a reference to it is ambiguous. Rename one of them.");

    /// <summary>Elements that are not exposed.</summary>
    public static readonly DiagnosticCode Ignored = new("PC0511", DiagnosticKind.Input, "element ignored",
        "The element has no area or line to expose, such as a text label or a net node. It is counted so that nothing goes missing unseen.");

    /// <summary>Elements that would be exposed if they had a size on the grid.</summary>
    public static readonly DiagnosticCode Lost = new("PC0585", DiagnosticKind.Loss, "element lost",
        "The element is drawn on a selected layer, but covers nothing: an outline of fewer than three corners or without area, a path without length. "
        + "Nothing of it is exposed. Delete it in the drawing if that is right, or correct it; if it vanished by rounding, choose a finer grid.");

    /// <summary>The file's unit does not fit the grid.</summary>
    public static readonly DiagnosticCode RoundedToGrid = new("PC0512", DiagnosticKind.Doubt, "rounded to the grid",
        "The stream's database unit is not a whole number of grid steps, so that its coordinates are rounded. Choose a grid that divides the database unit.");

    /// <summary>What one database unit is.</summary>
    public static readonly DiagnosticCode SizeRead = new("PC0513", DiagnosticKind.Remark, "drawing size",
        "The database unit, the cell that is the drawing, and the size that results.");

    /// <summary>A selected layer that does not exist.</summary>
    public static readonly DiagnosticCode UnknownLayer = new("PC0514", DiagnosticKind.Input, "unknown layer",
        "A layer that was asked for has nothing drawn on it. Layers are named by number, or by number and data type such as 5/0.");

    /// <summary>Nothing to expose.</summary>
    public static readonly DiagnosticCode NothingDrawn = new("PC0515", DiagnosticKind.Input, "nothing drawn",
        "The drawing has no element that could be exposed on the layers that are selected.");

    /// <summary>Absolute magnification or width.</summary>
    public static readonly DiagnosticCode Absolute = new("PC0516", DiagnosticKind.Doubt, "absolute value taken as relative",
        "Widths and transformations marked as absolute do not follow the magnification or rotation of the cells around them. They are taken as relative; the result is the same unless an outer cell is magnified or turned.");

    /// <summary>An option that makes no sense.</summary>
    public static readonly DiagnosticCode BadOption = new("PC0517", DiagnosticKind.Usage, "impossible option",
        "The drawing unit is above zero and the grid is 1 pm or more.");
}
