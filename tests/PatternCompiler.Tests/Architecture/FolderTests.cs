using System.Text.RegularExpressions;

namespace PatternCompiler.Tests.Architecture;

/// <summary>No two folders of the library use each other, on whatever way: one of them is there first.</summary>
public sealed partial class FolderTests
{
    [Fact]
    public void Folders_use_each_other_in_no_circle()
    {
        (string Path, string Folder, string Code)[] files =
        [
            .. SourceTree.Files("src/PatternCompiler").Select(file =>
                (file.Path, Path.GetDirectoryName(file.Path)!.Replace('\\', '/'), string.Join('\n', file.Lines.Where(line => !line.TrimStart().StartsWith("//", StringComparison.Ordinal))))),
        ];
        ILookup<string, string> types = files.SelectMany(file => TypeName().Matches(file.Code).Select(match => (file.Folder, Name: match.Groups[1].Value)))
            .ToLookup(type => type.Folder, type => type.Name);
        var uses = new Dictionary<(string User, string Used), string>();
        foreach ((string path, string folder, string code) in files)
        {
            // What lies in a folder above is seen without being asked for.
            HashSet<string> words = [.. Word().Matches(code).Select(match => match.Value)];
            IEnumerable<string> above = types.Select(type => type.Key).Where(name => folder.StartsWith(name + "/", StringComparison.Ordinal) && types[name].Any(words.Contains));
            foreach (string used in Usings().Matches(code).Select(match => match.Groups[1].Value.Replace('.', '/')).Concat(above).Where(used => used != folder))
            {
                uses.TryAdd((folder, used), path);
            }
        }

        Assert.True(types.Count > 50, "folders are found");
        Assert.Empty(Circles(uses.Keys).Select(use => $"{use.User} uses {use.Used} (as in {uses[use]}), and the other way round, maybe through others"));
    }

    [Theory]
    [InlineData("a>b b>c a>c", "")]
    [InlineData("a>b b>a a>c", "a>b b>a")]
    [InlineData("a>b b>c c>a c>d e>a", "a>b b>c c>a")]
    public void A_circle_is_found(string uses, string found) => Assert.Equal(
        found, string.Join(' ', Circles(uses.Split(' ').Select(use => (use[..1], use[2..]))).Select(use => $"{use.User}>{use.Used}").Order(StringComparer.Ordinal)));

    /// <summary>The uses from which a way leads back.</summary>
    private static IEnumerable<(string User, string Used)> Circles(IEnumerable<(string User, string Used)> uses)
    {
        ILookup<string, string> next = uses.ToLookup(use => use.User, use => use.Used);
        return uses.Where(use => Reached(use.Used, next).Contains(use.User));
    }

    private static HashSet<string> Reached(string start, ILookup<string, string> next)
    {
        HashSet<string> reached = [start];
        var open = new Stack<string>(reached);
        while (open.TryPop(out string? at))
        {
            foreach (string used in next[at].Where(reached.Add))
            {
                open.Push(used);
            }
        }

        return reached;
    }

    [GeneratedRegex(@"^(?:public |internal |static |sealed |abstract |readonly |partial |ref |unsafe )*(?:class|struct|record struct|record|enum|interface|delegate \S+) ([A-Z]\w*)", RegexOptions.Multiline)]
    private static partial Regex TypeName();

    [GeneratedRegex(@"(?<!\.)\b[A-Z]\w*")]
    private static partial Regex Word();

    [GeneratedRegex(@"\bPatternCompiler\.([A-Z][\w.]*)(?=;)", RegexOptions.Multiline)]
    private static partial Regex Usings();
}
