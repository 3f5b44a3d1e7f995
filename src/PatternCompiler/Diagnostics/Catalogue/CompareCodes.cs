namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of comparisons: PC31xx.</summary>
internal static class CompareCodes
{
    /// <summary>Documents of two kinds.</summary>
    public static readonly DiagnosticCode KindsDiffer = new(
        "PC3101",
        DiagnosticKind.Input,
        "documents of two kinds",
        "Only documents of one kind can be compared: two drawings, two figures documents, two strokes documents, or two exposures (records or streams). Compile the earlier one further, or decode the later one.");

    /// <summary>Grids without a common one.</summary>
    public static readonly DiagnosticCode GridsApart = new(
        "PC3102",
        DiagnosticKind.Input,
        "grids too far apart",
        "Two layouts are compared on the coarsest grid that holds the points of both exactly. For these two it is so fine that coordinates would leave the range of the grid.");

    /// <summary>A provenance file that is no JSON.</summary>
    public static readonly DiagnosticCode BadProvenance = new(
        "PC3191",
        DiagnosticKind.Input,
        "broken provenance file",
        "A file starts as one that tells where outputs come from, but is not the JSON that 'build --provenance' writes: it was cut short, or changed by hand.");

    /// <summary>A picture of what has none.</summary>
    public static readonly DiagnosticCode NothingToDraw = new(
        "PC3192",
        DiagnosticKind.Input,
        "nothing to draw",
        "Provenance files list settings, hashes and results; there is no picture of where they differ. Compare the outputs themselves.");
}
