using PatternCompiler.Files;

namespace PatternCompiler.Cli.Comparing;

/// <summary>The files of two folders by their names below them. Names that start with a dot, and what is in such folders, are left out.</summary>
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

    /// <summary>True if the two are the same folder or one is in the other, so that their files cannot be told apart.</summary>
    public static bool Overlap(string first, string second)
    {
        string a = WithSeparator(first);
        string b = WithSeparator(second);
        return a.StartsWith(b, StringComparison.Ordinal) || b.StartsWith(a, StringComparison.Ordinal);
    }

    private static string WithSeparator(string folder) => Path.TrimEndingDirectorySeparator(FileSystem.FollowLinks(folder)) + Path.DirectorySeparatorChar;

    private static string[] Names(string folder) =>
    [
        .. Below(folder, "").Order(StringComparer.Ordinal),
    ];

    private static IEnumerable<string> Below(string folder, string inside) => FileSystem.List(folder)
        .Where(entry => !entry.Name.StartsWith('.'))
        .SelectMany(entry => entry switch
        {
            { IsFolder: false } => [inside + entry.Name],

            // A link to a folder may lead back here.
            { IsLink: false } => Below(Path.Combine(folder, entry.Name), inside + entry.Name + Path.DirectorySeparatorChar),
            _ => [],
        });
}
