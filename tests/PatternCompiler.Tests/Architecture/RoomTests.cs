using System.Text.RegularExpressions;

namespace PatternCompiler.Tests.Architecture;

public sealed partial class RoomTests
{
    // The order of the pipeline. A room uses itself and rooms before it, never one after it.
    private static readonly string[] Rooms =
    [
        "Diagnostics", "Units", "Limits", "Geometry", "Instrument", "Model", "FrontEnds", "Passes", "BackEnds", "Checks",
        "Prediction", "Calibration", "Generate", "Reports", "Jobs",
    ];

    private const int LongestFile = 450;

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

    [Fact]
    public void No_source_file_is_long()
    {
        Assert.Empty(SourceTree.Files("src")
            .Where(file => file.Lines.Length > LongestFile)
            .Select(file => $"{file.Path}: {file.Lines.Length} lines, at most {LongestFile}; split it by what it does"));
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

    [GeneratedRegex(@"\bPatternCompiler\.([A-Z]\w*)")]
    private static partial Regex RoomName();

    [GeneratedRegex(@"\bConsole\.|\bDateTime(Offset)?\.|\bStopwatch\b|\bEnvironment\.(Exit|GetEnvironmentVariable|CurrentDirectory|UserName|MachineName)|\bCultureInfo\.CurrentCulture")]
    private static partial Regex WorldAccess();
}
