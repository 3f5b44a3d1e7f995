using System.Text.Json;
using System.Text.RegularExpressions;
using PatternCompiler.Oracles.Receiver;

namespace PatternCompiler.EndToEnd;

/// <summary>What a log of runs remembers, and that it brings the same bytes back.</summary>
public sealed partial class RunLogTests(CReceiver receiver) : IClassFixture<CReceiver>
{
    [Fact]
    public void A_run_remembers_what_it_was_made_from_and_gives_the_same_bytes_or_names_what_differs()
    {
        using WorkFolder folder = Sent();
        Assert.Matches(
            @"^run +begun \(UTC\) +lasted +stream +machine +records +outcome +notes\n\d{8}T\d{6}\.\d{3}-\d+ +\d{4}-\d\d-\d\d \d\d:\d\d:\d\d +\S+ m?s +chip/out/a\.stream +chip +(\d+) of \1 +written +bake=180 C, 90 s; lot=7\n$",
            folder.Run("log", "runs.log").Expect(0).Output);
        Assert.EndsWith("outcome  notes\n", folder.Run("log", "runs.log", "--note", "lot=8").Expect(0).Output, StringComparison.Ordinal);
        Assert.Contains("\nmade from           a.layout ", folder.Run("log", "runs.log", "--run", "last").Expect(0).Output, StringComparison.Ordinal);

        Outcome same = folder.Run("repeat", "runs.log", "--run", "last", "-o", "again.stream").Expect(0);
        Assert.Matches(@"^chip/job\.yaml gives the bytes of run \S+: SHA-256 [0-9a-f]{64}\n$", same.Errors);
        Assert.Equal(folder.Read("chip/out/a.stream"), folder.Read("again.stream"));
        File.Delete(folder["again.stream"]);

        // Another drawing, another setting: each is named, and nothing is written.
        folder.With("chip/a.layout", "layout 1\nunit um\nlayer pads\nrect on pads at (0, 0) size (4, 3)\n");
        File.WriteAllText(folder["chip/machine.yaml"], File.ReadAllText(folder["chip/machine.yaml"]).Replace("current: 100 pA", "current: 90 pA", StringComparison.Ordinal));
        Outcome other = folder.Run("repeat", "runs.log", "--run", "last", "-o", "again.stream").Expect(1);
        Assert.Matches(
            @"^chip/job\.yaml: error PC2207: this job no longer gives the bytes of run \S+; then \| now: inputs\[machine\.yaml\]\.sha256 ""\w+"" \| ""\w+""; inputs\[a\.layout\]\.sha256 ""\w+"" \| ""\w+""; settings\.machine\.beam\.currentAmperes 1E-10 \| 9E-11; take back what should be as it was\n$",
            other.Errors.Replace("9.000000000000001E-11", "9E-11", StringComparison.Ordinal));
        Assert.DoesNotContain("again.stream", folder.Entries);
        File.Delete(folder["chip/job.yaml"]);
        Assert.Contains("job.yaml: error PC0130: there is no job file of this name", folder.Run("repeat", "runs.log", "--run", "last").Expect(4).Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void The_log_takes_only_what_belongs_to_the_stream()
    {
        using WorkFolder folder = Sent();
        string before = File.ReadAllText(folder["runs.log"]);
        folder.With("b.layout", "layout 1\nunit um\nlayer a\nrect on a at (0, 0) size (1, 1)\n");
        folder.Run("build", "b.layout", "--provenance", "b.json").Expect(0);
        Assert.Equal(
            "b.json: error PC2205: none of the outputs that this file tells of has the bytes of 'chip/out/a.stream'; build again with --provenance, and send what was built then\n",
            folder.Run("send", "chip/out/a.stream", "--link", "none", "--log", "runs.log", "--provenance", "b.json").Expect(1).Errors);
        Assert.Contains("name it with '--log'", folder.Run("send", "chip/out/a.stream", "--link", "none", "--note", "lot=7").Expect(2).Errors, StringComparison.Ordinal);
        Assert.Contains("takes a name and a text, such as lot=7, not 'lot'", folder.Run("send", "chip/out/a.stream", "--link", "none", "--log", "runs.log", "--note", "lot").Expect(2).Errors, StringComparison.Ordinal);
        Assert.Contains("needs '--run'", folder.Run("log", "runs.log", "--add", "a=b").Expect(2).Errors, StringComparison.Ordinal);
        Assert.Contains("takes a day or a time such as 2026-03-01 or 2026-03-01T14:30, not 'yesterday'", folder.Run("log", "runs.log", "--since", "yesterday").Expect(2).Errors, StringComparison.Ordinal);
        Assert.Equal("runs.log: error PC2206: no run of 1 run is named '1999'; 'patternc log' lists them\n", folder.Run("log", "runs.log", "--run", "1999").Expect(1).Errors);
        Assert.Contains("b.layout:1: error PC2201", folder.Run("log", "b.layout").Expect(1).Errors, StringComparison.Ordinal);
        Assert.Equal(before, File.ReadAllText(folder["runs.log"]));

        folder.Run("send", "b.stream", "--link", "none", "--log", "plain.log").Expect(4);
        Assert.Contains("error PC2208: the log does not tell what the stream of run", folder.Run("repeat", "plain.log", "--run", "last").Expect(1).Errors, StringComparison.Ordinal);
    }

    /// <summary>Lines of several programs at once are whole, each of them.</summary>
    [Fact]
    public async Task Several_programs_add_to_one_log_at_once()
    {
        using WorkFolder folder = Sent();
        await Task.WhenAll(Enumerable.Range(0, 12).Select(i => Task.Run(() => folder.Run("log", "runs.log", "--run", "last", "--add", $"n{i}={new string((char)('a' + i), 5000)}").Expect(0))));
        JsonElement run = JsonDocument.Parse(folder.Run("log", "runs.log", "--json").Expect(0).Output).RootElement.GetProperty("runs")[0];
        Assert.All(Enumerable.Range(0, 12), i => Assert.Equal(new string((char)('a' + i), 5000), run.GetProperty("notes").GetProperty($"n{i}").GetString()));
        Assert.Equal("written", run.GetProperty("outcome").GetString());
        Assert.Equal("chip/job.yaml", run.GetProperty("job").GetString());
    }

    /// <summary>Of a run in steps each comes again with the current that was read for it; also of one that was cut short and resumed.</summary>
    [Fact]
    public void A_run_in_steps_gives_the_same_bytes_of_every_step_or_names_what_differs()
    {
        const string Start = "start/rules: yes\nstart/sample: yes\nstart/energy: yes\nstart/magnification: yes\nstart/scan: yes\nstart/polarity: yes\nstart/blanked current: 0.2 pA\nstart/current: 97.3 pA\n";
        using WorkFolder folder = new WorkFolder().With("chip/a.layout", "layout 1\nunit um\nlayer pads\nrect on pads at (0, 0) size (4, 2)\n");
        folder.Run("init", "chip", "--drawing", "a.layout").Expect(0);
        string machine = File.ReadAllText(folder["chip/machine.yaml"]), job = File.ReadAllText(folder["chip/job.yaml"]) + "run: {readings: current, copies: [{name: one, at: [-20 um, 0 um]}, {name: two, at: [20 um, 0 um], dose: 1.2}]}\n";
        folder.With("chip/job.yaml", job).With("chip/machine.yaml", machine.Replace("current: 100 pA", "current: 100 pA\n  later: {after: 600 s, current: 96 pA}", StringComparison.Ordinal));
        folder.With("some.yaml", Start).With("all.yaml", Start + "two/current: 91.7 pA\n");
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        string[] run = ["run", "chip/job.yaml", "--link", cable.Name, "--log", "runs.log", "--answers"];
        folder.Run([.. run, "some.yaml"]).Expect(4);
        Assert.Matches("^chip/job\\.yaml gives the bytes of one of run \\S+, for 97\\.3 pA as read then: SHA-256 [0-9a-f]{64}\n$", Said(folder.Run("repeat", "runs.log", "--run", "last").Expect(0)));
        folder.Run([.. run, "all.yaml", "--resume", "last"]).Expect(0);
        cable.Finish();
        Assert.Contains("\nmade from           a.layout ", folder.Run("log", "runs.log", "--run", "last").Expect(0).Output, StringComparison.Ordinal);

        Assert.Equal(2, Said(folder.Run("repeat", "runs.log", "--run", "last", "-o", "again.stream").Expect(0)).Split('\n').Count(line => line.Contains(" as read then: ", StringComparison.Ordinal)));
        string kept = Assert.Single(Directory.GetDirectories(folder.Path, "runs-*"));
        foreach (string step in (string[])["one", "two"])
        {
            Assert.Equal(File.ReadAllBytes(Path.Combine(kept, $"{step}.stream")), folder.Read($"again-{step}.stream"));
            File.Delete(folder[$"again-{step}.stream"]);
        }

        Assert.Contains("cannot all go to standard output", folder.Run("repeat", "runs.log", "--run", "last", "-o", "-").Expect(1).Errors, StringComparison.Ordinal);

        // Another dose of one copy: its step and the setting are named, and no step is written.
        folder.With("chip/job.yaml", job.Replace("dose: 1.2", "dose: 1.3", StringComparison.Ordinal));
        Outcome other = folder.Run("repeat", "runs.log", "--run", "last", "-o", "again.stream").Expect(1);
        Match told = Regex.Match(other.Errors, @"error PC2207: this job no longer gives the bytes of run \S+; then \| now: inputs\[job\.yaml\]\.sha256 .*; settings\.run\.copies\[two\]\.doseFactor 1\.2 \| 1\.3; steps\[two\]\.sha256 \w+ \| \w+; take back");
        Assert.True(told.Success, other.Errors);
        Assert.DoesNotContain(folder.Entries, entry => entry.StartsWith("again", StringComparison.Ordinal));
        folder.With("chip/job.yaml", job.Replace("{name: one", "{name: first", StringComparison.Ordinal));
        Outcome renamed = folder.Run("repeat", "runs.log", "--run", "last").Expect(1);
        Assert.True(renamed.Errors.Contains("settings.run.copies[first].name (none) | \"first\"; ", StringComparison.Ordinal), renamed.Errors);

        static string Said(Outcome outcome) => string.Concat(outcome.Errors.Split('\n').Where(line => line.StartsWith("chip/job.yaml gives", StringComparison.Ordinal)).Select(line => line + "\n"));
    }

    /// <summary>A stage of which no speed is known has no largest one: settings without a limit can be kept, too.</summary>
    [Fact]
    public void Settings_without_a_limit_can_be_kept()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", "layout 1\nunit um\nlayer pads\nrect on pads at (0, 0) size (4, 2)\n");
        folder.Run("init", ".", "--drawing", "a.layout").Expect(0);
        File.AppendAllText(folder["machine.yaml"], "stage: {settle: 1 s}\n");
        folder.Run("build", "job.yaml", "--provenance", "a.json").Expect(0);
        using JsonDocument kept = JsonDocument.Parse(folder.Read("a.json"));
        Assert.Equal("Infinity", kept.RootElement.GetProperty("settings").GetProperty("machine").GetProperty("stage").GetProperty("speedNanometresPerSecond").GetString());
    }

    private WorkFolder Sent()
    {
        WorkFolder folder = new WorkFolder().With("chip/a.layout", "layout 1\nunit um\nlayer pads\nrect on pads at (0, 0) size (4, 2)\n");
        folder.Run("init", "chip", "--drawing", "a.layout").Expect(0);
        folder.Run("build", "chip/job.yaml", "--provenance", "chip/out/a.json").Expect(0);
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        folder.Run("send", "chip/out/a.stream", "--link", cable.Name, "--log", "runs.log", "--provenance", "chip/out/a.json", "--note", "lot=7", "--note", "bake=180 C, 90 s").Expect(0);
        return folder;
    }
}
