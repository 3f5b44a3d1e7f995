namespace PatternCompiler.Diagnostics;

/// <summary>Where in the user's input a diagnostic points. Every part is optional; the printed form omits what is absent.</summary>
/// <param name="File">File name as the user gave it, "-" for standard input, or null.</param>
/// <param name="Line">1-based line, 0 when there is none (binary input, or a place named by <paramref name="Entity"/> alone).</param>
/// <param name="Column">1-based column in UTF-16 units, 0 when unknown.</param>
/// <param name="Entity">What the place is in the input's own terms, e.g. "LWPOLYLINE 2F on layer pads" or "figure 17".</param>
public readonly record struct SourcePlace(string? File, int Line = 0, int Column = 0, string? Entity = null)
{
    private const int LongestFile = 1000;
    private const int LongestEntity = 200;

    /// <summary>A place that says nothing.</summary>
    public static SourcePlace None => default;

    /// <summary>Prints "file:line:column (entity)", leaving out what is absent.</summary>
    public override string ToString() => Join(PrintedText.Of(File ?? "", LongestFile), Entity is null ? null : PrintedText.Of(Entity, LongestEntity));

    /// <summary>As it is printed, for what escapes it by itself.</summary>
    internal string Plain => Join(PrintedText.Cut(File ?? "", LongestFile), Entity is null ? null : PrintedText.Cut(Entity, LongestEntity));

    private string Join(string file, string? entity)
    {
        string position = (Line, Column) switch
        {
            (0, _) => file,
            (_, 0) => $"{file}:{Line}",
            _ => $"{file}:{Line}:{Column}",
        };
        return entity is null ? position : position.Length == 0 ? entity : $"{position} ({entity})";
    }
}
