using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;

namespace PatternCompiler.EndToEnd;

/// <summary>What the pages of the examples tell a reader to type works, and what they claim is true.</summary>
public sealed partial class ExamplesTests
{
    private static string Folder { get; } = Path.Combine(Repository.Root, "examples");

    public static TheoryData<string> Names =>
        [.. Directory.GetDirectories(Folder).Where(folder => File.Exists(Path.Combine(folder, "README.md"))).Select(folder => Path.GetFileName(folder)!).Order(StringComparer.Ordinal)];

    [Theory]
    [MemberData(nameof(Names))]
    public void Every_command_runs_and_makes_the_pictures(string name)
    {
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples", ".");
        string text = File.ReadAllText(folder[$"{name}/README.md"]);
        string[] pictures = [.. Picture().Matches(text).Select(match => match.Groups[1].Value)];
        string[] commands =
        [
            .. Block().Matches(text).SelectMany(block => block.Groups[1].Value.Replace("\\\n", " ", StringComparison.Ordinal).Split('\n'))
                .Where(line => line.StartsWith("patternc ", StringComparison.Ordinal)),
            .. Inline().Matches(text).Select(match => match.Groups[1].Value.Replace('\n', ' ')),
        ];

        // A picture that a command names is made anew by it.
        string[] made = [.. pictures.Where(picture => commands.Any(command => command.Contains(" " + picture, StringComparison.Ordinal)))];
        foreach (string picture in made)
        {
            File.Delete(folder[$"{name}/{picture}"]);
        }

        int refused = 0;
        foreach (string typed in commands)
        {
            // Predictions on coarse pixels, to save time: the numbers are checked elsewhere.
            string command = typed.StartsWith("patternc simulate ", StringComparison.Ordinal) && !typed.Contains(" --pixel ", StringComparison.Ordinal) ? typed + " --pixel 20nm" : typed;
            Outcome outcome = Executable.Shell(folder[name], $"set -o pipefail; {command} > /dev/null");

            Assert.True(outcome.ExitCode is 0 or 3, $"{command}: {outcome.Errors}");
            refused += outcome.ExitCode == 3 ? 1 : 0;
        }

        // A page may show what is refused, and says so.
        Assert.Equal(Refusal().Count(text), refused);

        Assert.All(pictures, picture => Assert.True(File.Exists(folder[$"{name}/{picture}"]), picture));
    }

    [Theory]
    [InlineData("dose-test", "dose-test.layout", "generate dose-matrix --columns 2 --rows 6 --size 10um --pitch 16um --first-dose 0.45 --last-dose 3.2 --bars 1")]
    [InlineData("zone-plate", "zone-plate.layout", "generate zone-plate --wavelength 405nm --focus 12um --zones 29")]
    public void Generated_drawings_are_what_the_program_generates(string name, string drawing, string command)
    {
        using var folder = new WorkFolder();
        Assert.Equal(File.ReadAllText(Path.Combine(Folder, name, drawing)), folder.Run(command.Split(' ')).Expect(0).Output);
    }

    [Fact]
    public void What_the_dose_test_gave_is_used_and_prints_as_drawn()
    {
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples", ".");
        string At(string file) => "dose-test/" + file;
        string fitted = folder.Run("fit", "dose", At("readings.csv"), "--job", At("job.yaml"), "--base-dose", "250 uC/cm2").Expect(0).Output;
        string process = File.ReadAllText(folder[At("process-fitted.yaml")]);
        string[] values = [.. fitted.Split('\n').Where(line => !line.StartsWith('#') && line.Contains(": ", StringComparison.Ordinal))];
        Assert.Equal(5, values.Length);
        Assert.All(values, value => Assert.Contains("\n" + value, process, StringComparison.Ordinal));
        string[] advice = [.. fitted.Split('\n').SkipWhile(line => !line.EndsWith("in a job with:", StringComparison.Ordinal)).Skip(1).TakeWhile(line => line.StartsWith("#   ", StringComparison.Ordinal))];
        Assert.Equal(["#   correct: {target: edge}", "#   bias: -5.8 nm"], advice);
        string job = File.ReadAllText(folder[At("check-job.yaml")]);
        Assert.All(advice, line => Assert.Contains("\n" + line[4..] + "\n", job, StringComparison.Ordinal));

        folder.Run("build", At("check-job.yaml")).Expect(0);
        using JsonDocument json = JsonDocument.Parse(folder.Run(
            "simulate", At("out/check.stream"), "--job", At("check-job.yaml"), "--against", At("check.layout"), "--bias", "5.8 nm", "--limit", "5 nm", "--json").Expect(0).Output);
        JsonElement edges = json.RootElement.GetProperty("edges");
        Assert.Equal((15_660, 0), (edges.GetProperty("samples").GetInt32(), edges.GetProperty("lost").GetInt32()));
        Assert.InRange(Math.Abs(edges.GetProperty("worstNanometres").GetDouble()), 0, 2);
    }

    [Fact]
    public void The_machine_of_several_fields_holds_what_its_marks_gave()
    {
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples/multi-field", ".");
        string section = folder.Run("fit", "field", "marks.csv", "--machine", "machine.yaml").Expect(0).Output;
        string pasted = string.Join('\n', section.Split('\n').Where(line => line.StartsWith("      ", StringComparison.Ordinal)));
        Assert.Contains(pasted, File.ReadAllText(folder["machine.yaml"]), StringComparison.Ordinal);
        string page = File.ReadAllText(folder["README.md"]);
        Assert.Matches(@"#     1      6         96\.\d+ ", section);
        Assert.Matches(@"#     3     20         5\.4\d* +\S+ +7\.1\d* +<- used", section);
        Assert.Contains("order 3 leaves 5.4 nm and predicts marks that it has not seen to 7.1 nm", page, StringComparison.Ordinal);
    }

    [Fact]
    public void Weighted_points_are_worth_what_the_page_says()
    {
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples/zone-plate", ".");
        folder.Run("batch", "both.yaml").Expect(0);
        string page = File.ReadAllText(folder["README.md"]);
        foreach (string placement in (string[])["centre", "weighted"])
        {
            Match row = Regex.Match(page, $@"\(`{placement}`\) \| (\S+) nm \| (\S+) nm \|");
            using JsonDocument json = JsonDocument.Parse(folder.Run(
                "simulate", $"out/{placement}/zone-plate.stream", "--machine", "machine-12bit.yaml", "--process", "process.yaml",
                "--against", "zone-plate.layout", "--json").Expect(0).Output);
            JsonElement edges = json.RootElement.GetProperty("edges");
            Assert.Equal(double.Parse(row.Groups[1].Value, CultureInfo.InvariantCulture), edges.GetProperty("threeSigmaNanometres").GetDouble(), 0.06);
            Assert.Equal(double.Parse(row.Groups[2].Value, CultureInfo.InvariantCulture), Math.Abs(edges.GetProperty("worstNanometres").GetDouble()), 0.06);
        }
    }

    [GeneratedRegex(@"!\[[^\]]*\]\(([^)]+\.(?:png|svg))\)")]
    private static partial Regex Picture();

    [GeneratedRegex("exit code 3")]
    private static partial Regex Refusal();

    [GeneratedRegex(@"^```\n(.*?)^```$", RegexOptions.Singleline | RegexOptions.Multiline)]
    private static partial Regex Block();

    // With values and an output: "patternc help fill" and the like show, but make nothing.
    [GeneratedRegex(@"`(patternc [^`]+ -o [^`]+)`")]
    private static partial Regex Inline();
}
