namespace PatternCompiler.Diagnostics;

/// <summary>Where in the user's input a diagnostic points. Every part is optional; the printed form omits what is absent.</summary>
/// <param name="File">File name as the user gave it, "-" for standard input, or null.</param>
/// <param name="Line">1-based line, 0 when there is none (binary input, or a place named by <paramref name="Entity"/> alone).</param>
/// <param name="Column">1-based column in UTF-16 units, 0 when unknown.</param>
/// <param name="Entity">What the place is in the input's own terms, e.g. "LWPOLYLINE 2F on layer pads" or "figure 17".</param>
public readonly record struct SourcePlace(string? File, int Line = 0, int Column = 0, string? Entity = null)
{
    /// <summary>A place that says nothing.</summary>
    public static SourcePlace None => default;

    /// <summary>Prints "file:line:column (entity)", leaving out what is absent.</summary>
    public override string ToString()
    {
        string position = (Line, Column) switch
        {
            (0, _) => File ?? "",
            (_, 0) => $"{File}:{Line}",
            _ => $"{File}:{Line}:{Column}",
        };
        return Entity is null ? position : position.Length == 0 ? Entity : $"{position} ({Entity})";
    }
}
