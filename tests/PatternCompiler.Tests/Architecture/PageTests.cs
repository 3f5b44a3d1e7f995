using System.Text.RegularExpressions;

namespace PatternCompiler.Tests.Architecture;

/// <summary>Pages that send their readers to a file send them to one that exists.</summary>
public sealed partial class PageTests
{
    // Paths in pages are short where the reader knows the folder.
    private static readonly string[] Bases = ["", "src/PatternCompiler", "src/PatternCompiler.Cli", "tests/PatternCompiler.Tests"];

    private static readonly Lazy<HashSet<string>> SourceFiles = new(() =>
        [.. new[] { "src", "tests", "examples" }.SelectMany(folder => FilesBelow(folder, "*")).Select(path => Path.GetFileName(path))]);

    public static TheoryData<string> Pages =>
        [.. Directory.EnumerateFiles(SourceTree.Root, "*.md").Concat(new[] { "src", "tests", "examples" }.SelectMany(folder => FilesBelow(folder, "*.md")))
            .Select(path => Path.GetRelativePath(SourceTree.Root, path).Replace('\\', '/')).Order(StringComparer.Ordinal)];

    [Theory]
    [MemberData(nameof(Pages))]
    public void Files_that_a_page_names_exist(string page) => Assert.Equal([], Missing(page, File.ReadAllText(Path.Combine(SourceTree.Root, page))));

    [Theory]
    [InlineData("see `Jobs/NoSuchFile.cs`", "Jobs/NoSuchFile.cs")]
    [InlineData("see `Jobs/JobFile` and `Jobs/NoSuchFile`", "Jobs/NoSuchFile")]
    [InlineData("see `NoSuchFile.cs` beside `JobFile.cs`", "NoSuchFile.cs")]
    [InlineData("see `tests/Corpus/NoSuchFolder` and `tests/Corpus`", "tests/Corpus/NoSuchFolder")]
    [InlineData("[this](src/README.md) and [that](README.md#how), [those](https://example.org/x.md)", "src/README.md")]
    [InlineData("a name is `Jobs/X.Run(a)` or `5/2`, and data are `chip.stream` or `out/chip.stream`", null)]
    public void A_file_that_does_not_exist_is_found(string text, string? missing) =>
        Assert.Equal(missing is null ? [] : [missing], Missing("README.md", text));

    /// <summary>What is added is a file or two and a line in a table, and every guide says so with names that exist.</summary>
    [Theory]
    [InlineData("a fill strategy", 2)]
    [InlineData("a back end", 2)]
    [InlineData("a machine field", 2)]
    [InlineData("an option of a drawing format", 3)]
    public void A_guide_is_short(string what, int steps)
    {
        string text = File.ReadAllText(Path.Combine(SourceTree.Root, "DEVELOPERS.md"));
        string guide = text[text.IndexOf($"**{what},**", StringComparison.Ordinal)..];
        guide = guide[..guide.IndexOf("\n**", 2, StringComparison.Ordinal)];
        Assert.Equal(steps, Step().Count(guide));
        Assert.All(guide.Split("\n\n")[1].Split("\n2. "), step => Assert.Contains("`", step, StringComparison.Ordinal));
    }

    [Fact]
    public void Every_format_has_its_page()
    {
        string[] rooms = ["FrontEnds", "BackEnds"];
        string[] without =
        [
            .. rooms.SelectMany(room => Directory.EnumerateDirectories(Path.Combine(SourceTree.Root, "src/PatternCompiler", room)))
                .Where(folder => !File.Exists(Path.Combine(folder, "README.md")))
                .Select(folder => Path.GetFileName(folder)).Order(StringComparer.Ordinal),
        ];

        // What formats have in common is none.
        Assert.Equal(["Common"], without);
    }

    private static string[] Missing(string page, string text)
    {
        string folder = Path.GetDirectoryName(page)!.Replace('\\', '/');
        IEnumerable<string> linked = Link().Matches(text).Select(match => match.Groups[1].Value).Where(link => !Exists($"{folder}/{link}".TrimStart('/')));
        IEnumerable<string> named = Code().Matches(FencedBlock().Replace(text, "")).Select(match => match.Groups[1].Value.TrimEnd('/'))
            .Where(IsPath).Where(path => !Bases.Append(folder).Any(start => Exists($"{start}/{path}".TrimStart('/'))) && !IsKnownName(path));
        return [.. linked.Concat(named).Distinct()];
    }

    /// <summary>A file of code or a page, or a path that begins with a folder of the tree.</summary>
    private static bool IsPath(string text) => SourceName().IsMatch(text) ||
        (text.Contains('/', StringComparison.Ordinal) && !Made().IsMatch(text) && PlainPath().IsMatch(text) && Bases.Any(start => Directory.Exists(Path.Combine(SourceTree.Root, start, text.Split('/')[0]))));

    private static bool IsKnownName(string path) => !path.Contains('/', StringComparison.Ordinal) && SourceFiles.Value.Contains(path);

    private static bool Exists(string path)
    {
        string full = Path.Combine(SourceTree.Root, path);
        return File.Exists(full) || Directory.Exists(full) || File.Exists(full + ".cs");
    }

    private static IEnumerable<string> FilesBelow(string folder, string pattern) =>
        Directory.EnumerateFiles(Path.Combine(SourceTree.Root, folder), pattern, SearchOption.AllDirectories);

    [GeneratedRegex(@"\]\((?!\w+:|#)([^)#\s]+)(?:#[^)]*)?\)")]
    private static partial Regex Link();

    [GeneratedRegex(@"^\d\. ", RegexOptions.Multiline)]
    private static partial Regex Step();

    [GeneratedRegex(@"(?<!`)`([^`\n]+)`(?!`)")]
    private static partial Regex Code();

    [GeneratedRegex(@"^```.*?^```", RegexOptions.Multiline | RegexOptions.Singleline)]
    private static partial Regex FencedBlock();

    [GeneratedRegex(@"^[\w.-]+(/[\w.-]+)*\.(cs|csproj|md|py|pml)$")]
    private static partial Regex SourceName();

    /// <summary>What runs leave behind.</summary>
    [GeneratedRegex(@"^\.artifacts/|/out/")]
    private static partial Regex Made();

    [GeneratedRegex(@"^[\w.-]+(/[\w.-]+)+$")]
    private static partial Regex PlainPath();
}
