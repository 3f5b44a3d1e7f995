using System.Text;
using System.Text.RegularExpressions;
using PatternCompiler.VirtualLab.Bench;

namespace PatternCompiler.EndToEnd;

/// <summary>
/// Whole weeks among the examples: a page that goes from nothing to a result, a command a step, with what each step prints. Every command is run in
/// the order of the page, the lab's with the virtual lab, and must print what the page shows. PATTERNC_RENEW_KEPT=1 writes what they print into the page;
/// the difference is to be read.
/// </summary>
public sealed partial class WeekTests
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(5);

    [Theory]
    [InlineData("unknown-resist")]
    [InlineData("second-layer")]
    public void Every_step_prints_what_the_page_shows(string name)
    {
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples", ".");
        string page = Path.Combine(Repository.Root, "examples", name, "README.md");
        string text = File.ReadAllText(page);
        string lab = typeof(LabDescription).Assembly.Location;
        var shown = new StringBuilder();
        var real = new StringBuilder();
        int steps = 0;
        string renewed = Block().Replace(text, block =>
        {
            string command = block.Groups["command"].Value;
            Outcome outcome = Executable.Shell(folder[name], $"lab() {{ dotnet '{lab}' \"$@\"; }}; set -o pipefail; {{ {command}\n}} 2>&1", Patience);
            Assert.True(outcome.ExitCode == 0, $"{command}: {outcome.Output}{outcome.Errors}");
            shown.Append(block.Value).Append('\n');
            string now = $"```\n$ {command}\n{outcome.Output}```";
            real.Append(now).Append('\n');
            steps++;
            return now;
        });
        if (Environment.GetEnvironmentVariable("PATTERNC_RENEW_KEPT") is { Length: > 0 })
        {
            File.WriteAllText(page, renewed);
            foreach (Match picture in Picture().Matches(text))
            {
                File.Copy(folder[$"{name}/{picture.Groups["file"].Value}"], Path.Combine(Repository.Root, "examples", name, picture.Groups["file"].Value), overwrite: true);
            }
        }
        else
        {
            Assert.Equal(shown.ToString(), real.ToString());
            Assert.All(Picture().Matches(text), picture => Assert.Equal(
                File.ReadAllBytes(Path.Combine(Repository.Root, "examples", name, picture.Groups["file"].Value)), folder.Read($"{name}/{picture.Groups["file"].Value}")));
        }

        // What a fit or plan has told is what the files hold with which the next steps work.
        string files = string.Concat(Directory.GetFiles(folder[name], "*.yaml", SearchOption.AllDirectories).Select(File.ReadAllText));
        Assert.All(Told().Matches(real.ToString()), told => Assert.Contains("\n" + told.Groups["line"].Value, files, StringComparison.Ordinal));
        Assert.True(steps >= 10, "the page shows too few steps; has its form changed?");
    }

    [GeneratedRegex(@"^```\n\$ (?<command>(?:[^\n]*\\\n)*[^\n]*)\n(?<output>.*?)^```$", RegexOptions.Singleline | RegexOptions.Multiline)]
    private static partial Regex Block();

    [GeneratedRegex(@"^(#   )?(?<line>(fill|bias): .*|  (area|gel|retention|onset|clearing|offset|scale|skew): .*)$", RegexOptions.Multiline)]
    private static partial Regex Told();

    [GeneratedRegex(@"!\[[^\]]*\]\((?<file>[^)]+\.png)\)")]
    private static partial Regex Picture();
}
