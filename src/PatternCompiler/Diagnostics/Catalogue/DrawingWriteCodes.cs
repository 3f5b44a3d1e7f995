namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>What a drawing format cannot hold when a layout is written to it.</summary>
internal static class DrawingWriteCodes
{
    /// <summary>Dose factors are lost.</summary>
    public static readonly DiagnosticCode DoseLost = new("PC2051", DiagnosticKind.Loss, "dose factors not written",
        "Drawing formats have no place for dose factors. The shapes are written, the factors are not: keep the layout for exposing, the drawing for looking at.");

    /// <summary>Names had to be changed.</summary>
    public static readonly DiagnosticCode Renamed = new("PC2053", DiagnosticKind.Remark, "names changed",
        "The format allows fewer characters in names, or numbers only. The message lists what became of the layers.");

    /// <summary>The hierarchy had to be resolved.</summary>
    public static readonly DiagnosticCode Flattened = new("PC2054", DiagnosticKind.Remark, "written without cells",
        "The format cannot place a cell in the way that the layout does, for instance with different scales in x and y. The drawing is written with every cell in its place instead.");

    /// <summary>Areas were cut.</summary>
    public static readonly DiagnosticCode Cut = new("PC2055", DiagnosticKind.Remark, "areas cut into trapezoids",
        "The format allows fewer points to a polygon. Such areas are cut into trapezoids that touch without gap or overlap; the corners that a cut makes are rounded to the grid.");

    /// <summary>Beyond the numbers of the format.</summary>
    public static readonly DiagnosticCode BeyondFormat = new("PC2056", DiagnosticKind.Input, "beyond the format",
        "A number in the layout is larger than the format can hold, or an array runs in a way that it has no form for. Flatten the layout, or choose another format.");
}
