namespace PatternCompiler.Diagnostics;

/// <summary>Where in the user's input a diagnostic points. Every part is optional; the printed form omits what is absent.</summary>
/// <param name="File">File name as the user gave it, "-" for standard input, or null.</param>
/// <param name="Line">1-based line, 0 when there is none (binary input, or a place named by <paramref name="Entity"/> alone).</param>
/// <param name="Column">1-based column in UTF-16 units, 0 when unknown.</param>
/// <param name="Entity">What the place is in the input's own terms, e.g. "LWPOLYLINE 2F on layer pads" or "figure 17".</param>
public readonly record struct SourcePlace(string? File, int Line = 0, int Column = 0, string? Entity = null)
{
    private const int LongestFile = 1000;
    private const int LongestEntity = 500;

    /// <summary>The figure, stroke or record that a message is about, where it is about one.</summary>
    public ItemPlace? Item { get; init; }

    /// <summary>A place that says nothing.</summary>
    public static SourcePlace None => default;

    /// <summary>A message about a figure.</summary>
    /// <param name="number">Its number in its document.</param>
    internal static SourcePlace OfFigure(long number) => new() { Item = new(ItemKind.Figure, number) };

    /// <summary>A message about a point of a figure.</summary>
    /// <param name="number">The figure's number in its document.</param>
    /// <param name="x">The point in femtometres, as strokes count.</param>
    /// <param name="y">As <paramref name="x"/>.</param>
    internal static SourcePlace OfFigureAt(long number, long x, long y) =>
        new() { Item = new(ItemKind.Figure, number) { XNanometres = x * 1e-6, YNanometres = y * 1e-6 } };

    /// <summary>A message about a point of a layer, or of one of its figures.</summary>
    /// <param name="layer">The layer.</param>
    /// <param name="x">The point in nanometres.</param>
    /// <param name="y">As <paramref name="x"/>.</param>
    /// <param name="figure">The figure's number in its document; negative if there is none yet.</param>
    internal static SourcePlace OfPoint(string layer, double x, double y, long figure = -1) =>
        new() { Item = new(ItemKind.Figure, figure) { Layer = layer, XNanometres = x, YNanometres = y } };

    /// <summary>A message about a point of the pattern, in nanometres.</summary>
    internal static SourcePlace OfPosition(double x, double y) => new() { Item = new(ItemKind.Figure, -1) { XNanometres = x, YNanometres = y } };

    /// <summary>The place, and what else was drawn there, with the names of their files changed.</summary>
    internal SourcePlace WithFiles(Func<string, string> rename) => this with
    {
        File = File is null ? null : rename(File),
        Item = Item is { Also.Count: > 0 } item ? item with { Also = [.. item.Also.Select(other => other.WithFiles(rename))] } : Item,
    };

    /// <summary>Prints "file:line:column (entity)", leaving out what is absent.</summary>
    public override string ToString() => Join(PrintedText.Of(File ?? "", LongestFile), Inner is string entity ? PrintedText.Of(entity, LongestEntity) : null);

    /// <summary>As it is printed, for what escapes it by itself.</summary>
    internal string Plain => Join(PrintedText.Cut(File ?? "", LongestFile), Inner is string entity ? PrintedText.Cut(entity, LongestEntity) : null);

    private string? Inner => (Entity, Item) switch { (_, null) => Entity, (null, _) => Item.ToString(), _ => $"{Entity}, {Item}" };

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
