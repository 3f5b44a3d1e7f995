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
    [InlineData("dose-test", "dose-test.layout", "generate dose-matrix --columns 5 --rows 4 --size 12um --pitch 18um --first-dose 0.4 --last-dose 1.6")]
    [InlineData("zone-plate", "zone-plate.layout", "generate zone-plate --wavelength 405nm --focus 12um --zones 29")]
    public void Generated_drawings_are_what_the_program_generates(string name, string drawing, string command)
    {
        using var folder = new WorkFolder();
        Assert.Equal(File.ReadAllText(Path.Combine(Folder, name, drawing)), folder.Run(command.Split(' ')).Expect(0).Output);
    }

    [Fact]
    public void The_fitted_process_holds_what_the_dose_test_gave()
    {
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples/dose-test", ".");
        string section = folder.Run("fit", "contrast", "measured.csv").Expect(0).Output;
        string process = File.ReadAllText(folder["process-fitted.yaml"]);
        string pasted = string.Join('\n', section.Split('\n').Where(line => !line.StartsWith('#')));
        Assert.EndsWith(pasted, process, StringComparison.Ordinal);
        double clearing = NumberAfter(process, "  clearing: ");
        Assert.Equal(2 * clearing, NumberAfter(process, "  area: "), 0.5);

        // The numbers were made for a film that starts to thin at 118 and clears at 268 uC/cm2, with 3 nm of noise.
        Assert.Equal(268, clearing, 5.0);
        Assert.Equal(118, NumberAfter(process, "resist:\n  tone: positive\n  onset: "), 3.0);
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

    private static double NumberAfter(string text, string start)
    {
        int at = text.IndexOf(start, StringComparison.Ordinal) + start.Length;
        return double.Parse(text.AsSpan(at, text.IndexOf(' ', at) - at), CultureInfo.InvariantCulture);
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
