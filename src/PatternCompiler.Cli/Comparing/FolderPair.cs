namespace PatternCompiler.Cli.Comparing;

/// <summary>The files of two folders by their names below them.</summary>
/// <param name="OnlyFirst">Names that only the first has.</param>
/// <param name="OnlySecond">Names that only the second has.</param>
/// <param name="Both">Names that both have.</param>
internal sealed record FolderPair(string[] OnlyFirst, string[] OnlySecond, string[] Both)
{
    public static FolderPair Of(string first, string second)
    {
        string[] a = Names(first);
        string[] b = Names(second);
        return new FolderPair([.. a.Except(b)], [.. b.Except(a)], [.. a.Intersect(b)]);
    }

    private static string[] Names(string folder) =>
    [
        .. Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories)
            .Select(file => Path.GetRelativePath(folder, file))
            .Where(name => !Path.GetFileName(name).StartsWith('.'))
            .Order(StringComparer.Ordinal),
    ];
}
