namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults and notes of the fracture pass.</summary>
internal static class FractureCodes
{
    /// <summary>No area, line or dot is left to write.</summary>
    public static readonly DiagnosticCode NothingToWrite = new(
        "PC1101",
        DiagnosticKind.Input,
        "nothing to write",
        "The layout, or the part of it that was chosen, holds no area, line or dot. An empty exposure is almost always a " +
        "mistake: a layer name that does not occur, a difference that removes everything, or a drawing made of " +
        "objects that cannot be written. List the layers of the drawing and check the choice.");

    /// <summary>Areas of one layer with different dose factors overlap.</summary>
    public static readonly DiagnosticCode DosesOverlap = new(
        "PC1102",
        DiagnosticKind.Remark,
        "areas of different dose overlap",
        "Two areas of one layer with different dose factors cover the same place. Written one after the other, that place " +
        "would receive both doses. The pass writes it once, by the rule in force (unless the rule is to add the doses); " +
        "the note says how large the overlap is, so that an unintended one is noticed.");

    /// <summary>Figures thinner than the limit that was set.</summary>
    public static readonly DiagnosticCode Slivers = new(
        "PC1103",
        DiagnosticKind.Doubt,
        "thin figures",
        "A figure thinner than about the spot size cannot be filled evenly: its charge is right, but it holds only a line or " +
        "two. Slivers come from corners at almost the same height. Another direction of the parallel sides may avoid them; " +
        "so does drawing on a coarser raster.");

    /// <summary>Lines without width that run along each other.</summary>
    public static readonly DiagnosticCode LinesOverlap = new(
        "PC1108",
        DiagnosticKind.Remark,
        "lines run along each other",
        "Lines without width of one layer and dose factor share a part of their path: drawn twice, or end over end. Written " +
        "one after the other, that part would receive the line dose twice. It is written once, as areas drawn twice are. " +
        "Give a line a dose factor if it is to have more dose.");
}
