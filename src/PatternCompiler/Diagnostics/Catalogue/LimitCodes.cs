namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>A drawing asks for more work or memory than is allowed.</summary>
internal static class LimitCodes
{
    /// <summary>A limit on work is reached.</summary>
    public static readonly DiagnosticCode TooMuchWork = new(
        "PC0770",
        DiagnosticKind.Input,
        "more work than allowed",
        "A small file can ask for endless work: shapes over each other, repeats within repeats, a fine pitch on a large area. " +
        "Each stage therefore has a limit, which grows with the drawing; most often it is met by a mistake in the drawing or a setting. " +
        "Where a drawing is meant so, the job file can raise the limit that the message names, at the price of time and memory.");
}
