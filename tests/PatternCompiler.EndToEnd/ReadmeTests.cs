using System.Text.RegularExpressions;

namespace PatternCompiler.EndToEnd;

/// <summary>What README.md tells a reader to type works, and what it points to exists.</summary>
public sealed partial class ReadmeTests
{
    private const string RunPrefix = "dotnet run -c Release --project src/PatternCompiler.Cli -- ";
    private const string TestCommand = "dotnet test -c Release";

    private static string Text { get; } = File.ReadAllText(Path.Combine(Repository.Root, "README.md"));

    [Fact]
    public void The_main_job_runs_as_written()
    {
        string line = Assert.Single(Text.Split('\n'), line => line.StartsWith(RunPrefix, StringComparison.Ordinal));
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples", "examples");
        folder.Run(line[RunPrefix.Length..].Split(' ')).Expect(0);
        Assert.Contains("examples/humidity-sensor/out/humidity-sensor.stream", folder.Entries);
    }

    [Fact]
    public void The_test_command_is_the_one_that_continuous_integration_runs()
    {
        Assert.Contains($"\n{TestCommand}\n", Text, StringComparison.Ordinal);
        Assert.Contains($" {TestCommand}\n", File.ReadAllText(Path.Combine(Repository.Root, ".ci/run")), StringComparison.Ordinal);
    }

    [Fact]
    public void Every_other_command_runs_in_the_order_of_the_text()
    {
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples/humidity-sensor", ".");
        folder.With("drawing.dxf", folder.Read("humidity-sensor.dxf"));
        folder.Run("build", "job.yaml").Expect(0);
        folder.With("humidity-sensor.stream", folder.Read("out/humidity-sensor.stream"));
        string[] commands =
        [
            .. InlineCommand().Matches(Text).Select(match => match.Groups[1].Value),
            .. Blocks().SelectMany(block => block.Replace("\\\n", " ", StringComparison.Ordinal).Split('\n'))
                .Where(line => line.StartsWith("patternc ", StringComparison.Ordinal)),
        ];
        Assert.True(commands.Length >= 5, "README.md shows too few commands; has its form changed?");
        Assert.All(commands, command => Executable.Shell(folder.Path, $"set -o pipefail; {command}").Expect(0));
    }

    [Fact]
    public void Every_link_leads_to_a_file()
    {
        string[] missing =
        [
            .. Link().Matches(Text).Select(match => match.Groups[1].Value)
                .Where(target => !target.Contains("://", StringComparison.Ordinal))
                .Where(target => !Path.Exists(Path.Combine(Repository.Root, target.Split('#')[0]))),
        ];
        Assert.Empty(missing);
    }

    private static IEnumerable<string> Blocks() => Block().Matches(Text).Select(match => match.Groups[1].Value);

    [GeneratedRegex(@"`(patternc (?!COMMAND)[a-z]+ [^`\n]+)`")]
    private static partial Regex InlineCommand();

    [GeneratedRegex(@"^```\n(.*?)^```$", RegexOptions.Singleline | RegexOptions.Multiline)]
    private static partial Regex Block();

    [GeneratedRegex(@"\]\(([^)#][^)]*)\)")]
    private static partial Regex Link();
}
