namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of OASIS files.</summary>
internal static class OasisCodes
{
    /// <summary>Not an OASIS file, or a version that is not read.</summary>
    public static readonly DiagnosticCode NotOasis = new("PC0551", DiagnosticKind.Input, "not an OASIS file",
        "An OASIS file begins with the bytes %SEMI-OASIS, a carriage return and a line feed, followed by a START record of version 1.0. This input does not.");

    /// <summary>The file stops in the middle.</summary>
    public static readonly DiagnosticCode Truncated = new("PC0552", DiagnosticKind.Input, "truncated OASIS file",
        "The file ends before its END record, so cells or shapes are missing. Export or copy it again.");

    /// <summary>A record that cannot be.</summary>
    public static readonly DiagnosticCode BadRecord = new("PC0553", DiagnosticKind.Input, "malformed record",
        "A record has a type, number or place that the standard does not allow. Everything after it would be misread. Export the file again.");

    /// <summary>A record leaves out a value that no record before it has set.</summary>
    public static readonly DiagnosticCode Unset = new("PC0554", DiagnosticKind.Input, "value not set",
        "Records may leave out a value that is the same as in the record before. At the start of a cell no such value is set yet.");

    /// <summary>The signature at the end does not fit.</summary>
    public static readonly DiagnosticCode BadSignature = new("PC0555", DiagnosticKind.Input, "signature does not fit",
        "The END record holds a sum over all bytes of the file, and they add up to another one: the file was damaged on the way. Copy it again.");

    /// <summary>A coordinate beyond the range.</summary>
    public static readonly DiagnosticCode OutOfRange = new("PC0556", DiagnosticKind.Input, "coordinate out of range",
        "Coordinates are held as whole grid steps within ±2^30; on the default grid of 0.1 nm that is ±107 mm. Choose a coarser grid or move the drawing to the origin.");

    /// <summary>More copies than can be written out.</summary>
    public static readonly DiagnosticCode TooMany = new("PC0557", DiagnosticKind.Input, "too many copies",
        "Regular arrays stay arrays, however large. Copies at irregular distances, or at distances that are no whole number of grid steps, are written out one by one, up to four million in a drawing, or one for each byte of its file. Lists have as many entries at most, and the corners of all shapes that are written out are at most 16 million, or 64 for each byte.");

    /// <summary>Objects that are not exposed.</summary>
    public static readonly DiagnosticCode Ignored = new("PC0558", DiagnosticKind.Input, "object ignored",
        "The object has no area or line to expose, such as a text label. It is counted so that nothing goes missing unseen.");

    /// <summary>Objects that would be exposed if they could be read.</summary>
    public static readonly DiagnosticCode Lost = new("PC0586", DiagnosticKind.Loss, "object lost",
        "The object is drawn on a selected layer, but nothing of it is exposed: it has no area or length, or is a geometry beyond the standard that only the program that wrote it can read. "
        + "Correct or delete it in the drawing program, or export it as polygons.");

    /// <summary>The file's unit does not fit the grid.</summary>
    public static readonly DiagnosticCode RoundedToGrid = new("PC0559", DiagnosticKind.Doubt, "rounded to the grid",
        "The file's grid is not a whole number of grid steps, so that its coordinates are rounded. Choose a grid that divides that of the file.");

    /// <summary>What one unit is.</summary>
    public static readonly DiagnosticCode SizeRead = new("PC0560", DiagnosticKind.Remark, "drawing size",
        "The file's grid, the cell that is the drawing, and the size that results.");
}
