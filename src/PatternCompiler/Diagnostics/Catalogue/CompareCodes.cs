namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of comparisons: PC31xx.</summary>
public static class CompareCodes
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
}
