using System.Text.RegularExpressions;

namespace PatternCompiler.Tests.Architecture;

public sealed partial class RoomTests
{
    // The order of the pipeline. A room uses itself and rooms before it, never one after it.
    private static readonly string[] Rooms =
    [
        "Diagnostics", "Files", "Units", "Limits", "Geometry", "Instrument", "Model", "FrontEnds", "Passes", "BackEnds", "Pictures", "Send", "Checks",
        "Places", "Prediction", "Calibration", "Measure", "Generate", "Reports", "Jobs", "Runs",
    ];

    private const int LongestFile = 400;
    private const int LongestMethod = 80;

    [Fact]
    public void Rooms_depend_only_on_rooms_before_them()
    {
        var faults = new List<string>();
        foreach ((string path, string[] lines) in SourceTree.Files("src/PatternCompiler"))
        {
            string room = path.Split('/')[0];
            int own = Array.IndexOf(Rooms, room);
            Assert.True(own >= 0, $"{path}: '{room}' is no room; add it to the list of rooms here, in its place in the pipeline.");
            foreach (string line in lines.Where(line => !line.TrimStart().StartsWith("//", StringComparison.Ordinal)))
            {
                foreach (Match match in RoomName().Matches(line))
                {
                    int used = Array.IndexOf(Rooms, match.Groups[1].Value);
                    if (used > own)
                    {
                        faults.Add($"{path} uses {Rooms[used]}, which comes later in the pipeline");
                    }
                }
            }
        }

        Assert.Empty(faults.Distinct());
    }

    /// <summary>The executable says what it wants; how a document gets there is the pipeline's matter alone.</summary>
    [Fact]
    public void The_executable_composes_no_pass()
    {
        string[] faults =
        [
            .. SourceTree.Files("src/PatternCompiler.Cli").SelectMany(file =>
                file.Lines.Where(line => Composition().IsMatch(line)).Select(line => $"{file.Path}: {line.Trim()}")),
        ];
        Assert.Empty(faults);
    }

    [Fact]
    public void Namespaces_are_folders()
    {
        var faults = new List<string>();
        foreach ((string project, string root) in new[] { ("src/PatternCompiler", "PatternCompiler"), ("src/PatternCompiler.Cli", "PatternCompiler.Cli") })
        {
            foreach ((string path, string[] lines) in SourceTree.Files(project))
            {
                string folder = Path.GetDirectoryName(path)!.Replace('\\', '/').Replace('/', '.');
                string expected = folder.Length == 0 ? root : $"{root}.{folder}";
                string? found = lines.FirstOrDefault(line => line.StartsWith("namespace ", StringComparison.Ordinal))?[10..].TrimEnd(';');
                if (found is not null && found != expected)
                {
                    faults.Add($"{project}/{path}: namespace {found}, expected {expected}");
                }
            }
        }

        Assert.Empty(faults);
    }

    /// <summary>Whatever else stands at the top of the tree was left there by mistake.</summary>
    [Fact]
    public void The_top_of_the_tree_holds_what_belongs_there() => Assert.Empty(
        Directory.EnumerateFileSystemEntries(SourceTree.Root).Select(path => Path.GetFileName(path)).Where(name => name[0] != '.')
            .Except(["src", "tests", "examples", "README.md", "DEVELOPERS.md", "LICENSE", "global.json", "PatternCompiler.sln"]));

    [Fact]
    public void No_source_file_is_long()
    {
        Assert.Empty(SourceTree.Files("src")
            .Where(file => file.Lines.Length > LongestFile)
            .Select(file => $"{file.Path}: {file.Lines.Length} lines, at most {LongestFile}; split it by what it does"));
    }

    [Fact]
    public void No_method_is_long()
    {
        var faults = new List<string>();
        foreach ((string path, string[] lines) in SourceTree.Files("src"))
        {
            for (int i = 1; i < lines.Length; i++)
            {
                int indent = lines[i].Length - 1;
                if (lines[i].Trim() == "{" && indent is 4 or 8 && lines[i - 1].EndsWith(')') && MemberHead(lines, i - 1, indent) is { } head)
                {
                    int end = Array.IndexOf(lines, new string(' ', indent) + "}", i);
                    if (end - i - 1 > LongestMethod)
                    {
                        faults.Add($"{path}:{i}: {end - i - 1} lines, at most {LongestMethod}: {head}");
                    }
                }
            }
        }

        Assert.Empty(faults);
    }

    // The line on which a method or constructor begins; null for statements and what else is in braces.
    private static string? MemberHead(string[] lines, int line, int indent)
    {
        while (line > 0 && lines[line].Length - lines[line].TrimStart().Length > indent)
        {
            line--;
        }

        string head = lines[line].Trim();
        return Member().IsMatch(head) ? head : null;
    }

    [Fact]
    public void The_library_has_no_console_clock_or_environment()
    {
        var faults = new List<string>();
        foreach ((string path, string[] lines) in SourceTree.Files("src/PatternCompiler"))
        {
            for (int i = 0; i < lines.Length; i++)
            {
                string code = lines[i].Split("//")[0];
                if (WorldAccess().Match(code) is { Success: true } match)
                {
                    faults.Add($"{path}:{i + 1}: {match.Value}");
                }
            }
        }

        Assert.Empty(faults);
    }

    [GeneratedRegex(@"^(public|private|internal|protected|static)\b(?!.*\b(class|struct|record|interface)\b)")]
    private static partial Regex Member();

    [GeneratedRegex(@"\b(\w+Pass|\w+Stage)\.Run\(|new \w+(Pass|Checker)\(")]
    private static partial Regex Composition();

    [Fact]
    public void Files_are_reached_by_name_in_one_place()
    {
        var faults = new List<string>();
        foreach ((string path, string[] lines) in SourceTree.Files("src"))
        {
            if (path.StartsWith("PatternCompiler/Files/", StringComparison.Ordinal) || path == "PatternCompiler.Cli/Arguments/CommandWords.cs")
            {
                continue;
            }

            for (int i = 0; i < lines.Length; i++)
            {
                if (FileAccess().Match(lines[i].Split("//")[0]) is { Success: true } match)
                {
                    faults.Add($"{path}:{i + 1}: {match.Value}: names that are not UTF-8 need Files/FileSystem");
                }
            }
        }

        Assert.Empty(faults);
    }

    [GeneratedRegex(@"(?<![\w.])(File|Directory)\.[A-Z]\w*\(|new (FileStream|FileInfo|DirectoryInfo)\(|Path\.GetFullPath\([^,]*\)$|Path\.GetRelativePath\(|new Stream(Reader|Writer)\((\w*[pP]ath|name)\b")]
    private static partial Regex FileAccess();

    [GeneratedRegex(@"\bPatternCompiler\.([A-Z]\w*)")]
    private static partial Regex RoomName();

    [GeneratedRegex(@"\bConsole\.|\bDateTime(Offset)?\.|\bStopwatch\b|\bEnvironment\.(Exit|GetEnvironmentVariable|CurrentDirectory|UserName|MachineName)|\bCultureInfo\.CurrentCulture")]
    private static partial Regex WorldAccess();
}
