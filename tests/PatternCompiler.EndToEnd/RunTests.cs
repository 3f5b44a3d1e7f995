using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using PatternCompiler.Oracles.Receiver;

namespace PatternCompiler.EndToEnd;

/// <summary>A job at the microscope: what is asked, what is sent, and what goes on after a stop.</summary>
public sealed class RunTests(CReceiver receiver) : IClassFixture<CReceiver>
{
    private const string Machine =
        "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}\ndeflection: {field: 100 um}\nsettle: {fixed: 20 us}\n"
        + "clock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\n"
        + "link: {rate: 8 MB/s, buffer: 64 KiB}\nstage: {speed: 100 um/s, settle: 1 s, step: 1 um}\n";

    private const string Start =
        "start/rules: yes\nstart/sample: yes\nstart/energy: yes\nstart/magnification: yes\nstart/scan: yes\nstart/polarity: yes\nstart/blanked current: 0.4 pA\nstart/current: 100 pA\n";

    private const string TwoFields = "fields: {size: 40 um, margin: 2 um, first: [-20 um, 0 um]}\nrun: {readings: [current, focus]}\n";

    [Fact]
    public void A_dry_run_prints_steps_and_questions_as_a_file_of_answers()
    {
        using WorkFolder folder = Job(TwoFields);
        Outcome outcome = folder.Run("run", "job.yaml", "--dry-run").Expect(0);
        Assert.StartsWith("# run of job 'two' on machine 'm': 2 steps, ", outcome.Output, StringComparison.Ordinal);
        Assert.Contains("# step 2: r01c02, ", outcome.Output, StringComparison.Ordinal);
        Assert.Contains("# Does the stage show (18, 0) um?\n# r01c02/stage: yes\n# Beam current on the sample?\n# r01c02/current: 100 pA\n", outcome.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("r01c01/current", outcome.Output, StringComparison.Ordinal);

        // What is printed, with its marks taken away, is what --answers takes.
        string[] lines = [.. outcome.Output.Split('\n').Where(line => Regex.IsMatch(line, "^# '?[a-z0-9]+/")).Select(line => line[2..])];
        folder.With("answers.yaml", string.Join('\n', lines) + "\n");
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        folder.Run("run", "job.yaml", "--link", cable.Name, "--log", "runs.log", "--answers", "answers.yaml").Expect(0);
        cable.Finish();
    }

    [Fact]
    public void The_stage_is_asked_for_as_the_manifest_tells_it()
    {
        using WorkFolder folder = Job(TwoFields + "sample: {offset: [0 um, 0 um], focus: {at_origin: 10.02 mm, slope_x: 0.1 %}}\n");
        folder.With("machine.yaml", Machine.Replace("step: 1 um}", "step: 1 um, rotation: 90 deg, approach: [10 um, 5 um], height: {focus: 10 mm, scale_per_mm: 1 %}}", StringComparison.Ordinal));
        string plan = folder.Run("run", "job.yaml", "--dry-run").Expect(0).Output;
        Assert.Contains("# Does the stage show (0, -18) um, having come from (-10, -23) um?\n# r01c02/stage: yes\n", plan, StringComparison.Ordinal);
        Assert.Contains("# Is the focus set to a working distance of 10.02 mm?\n# r01c02/working distance: yes\n", plan, StringComparison.Ordinal);
    }

    [Fact]
    public void Dwells_follow_the_current_that_is_read_and_the_log_tells_all()
    {
        using WorkFolder folder = Job(TwoFields).With("answers.yaml", Start + "any/stage: yes\nany/focus: 8.02 mm\nr01c02/current: 90 pA\n");
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        Outcome outcome = folder.Run("run", "job.yaml", "--link", cable.Name, "--log", "runs.log", "--answers", "answers.yaml", "--note", "lot=7").Expect(0);
        Assert.Contains("step 2 of 2, r01c02: ", outcome.Errors, StringComparison.Ordinal);
        string[] actions = cable.Finish();
        Assert.NotEmpty(actions);

        // Both squares are the same; the second is written with a tenth less current, for a ninth longer.
        string run = Assert.Single(Directory.GetDirectories(folder.Path, "runs-*"));
        (long first, long second) = (Ticks(folder, Path.Combine(run, "r01c01.stream")), Ticks(folder, Path.Combine(run, "r01c02.stream")));
        Assert.InRange(second / (double)first, 1.105, 1.117);

        JsonElement[] lines = [.. File.ReadAllLines(folder["runs.log"]).Select(line => JsonDocument.Parse(line).RootElement)];
        Assert.Single(lines.Select(line => line.GetProperty("run").GetString()).Distinct());
        Assert.Equal(["answered", "started", "written", "answered", "started", "written"], lines.Select(line => line.GetProperty("event").GetString()).Where(what => what is not ("progress" or "fault")));
        Assert.Equal(90e-12, lines.Last(line => line.GetProperty("event").GetString() == "started").GetProperty("currentAmperes").GetDouble(), 1e-15);
        string told = folder.Run("log", "runs.log", "--run", "last").Expect(0).Output;
        Assert.Contains("outcome             written\n", told, StringComparison.Ordinal);
        Assert.Matches(@"\nstep 2 of 2 +r01c02: (\d+) of \1 records, written \(r01c02/current 90 pA, r01c02/focus 8\.02 mm, r01c02/stage yes\)\n", told);
        Assert.Contains("note lot            7\n", told, StringComparison.Ordinal);
        JsonElement json = JsonDocument.Parse(folder.Run("log", "runs.log", "--json").Expect(0).Output).RootElement.GetProperty("runs")[0];
        Assert.Equal(2, json.GetProperty("steps").GetArrayLength());
        Assert.Equal(json.GetProperty("records").GetInt64(), json.GetProperty("written").GetInt64());
    }

    [Fact]
    public void Without_an_answer_the_beam_stays_off_and_the_run_is_resumed_later()
    {
        using WorkFolder folder = Job(TwoFields).With("some.yaml", Start + "any/stage: yes\nany/focus: 8 mm\n").With("all.yaml", Start + "any/stage: yes\nany/focus: 8 mm\nr01c02/current: 100 pA\n");
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        string[] command = ["run", "job.yaml", "--link", cable.Name, "--log", "runs.log", "--answers"];
        Outcome ended = folder.Run([.. command, "some.yaml"]).Expect(4);
        Assert.Contains("step 1 of 2, r01c01: ", ended.Errors, StringComparison.Ordinal);
        Assert.EndsWith(
            "error PC2213: nobody answers 'r01c02/current' (Beam current on the sample); the beam is off; answer at a terminal, or add the line to a file and name it with --answers\n", ended.Errors, StringComparison.Ordinal);
        Assert.Contains("failed", folder.Run("log", "runs.log").Expect(0).Output, StringComparison.Ordinal);
        Assert.Contains("warning PC2204: run ", folder.Run("run", "job.yaml", "--link", "none", "--log", "runs.log", "--answers", "all.yaml").Expect(4).Errors, StringComparison.Ordinal);

        Outcome resumed = folder.Run([.. command, "all.yaml", "--resume", "last"]).Expect(0);
        Assert.Contains("step 1 of 2, r01c01: written before\n", resumed.Errors, StringComparison.Ordinal);
        Assert.Contains(" is written, all of it", folder.Run([.. command, "all.yaml", "--resume", "last"]).Expect(1).Errors, StringComparison.Ordinal);

        // Every record once: what a run that nothing had stopped does.
        using var other = new BadCable(receiver.PathOf("receive"), 16, 1);
        folder.Run("run", "job.yaml", "--link", other.Name, "--log", "whole.log", "--answers", "all.yaml").Expect(0);
        Assert.Equal(Dots(other.Finish()), Dots(cable.Finish()));
    }

    [Theory]
    [InlineData("start/energy: yes", "start/energy: no", "error PC2214: 'start/energy' was answered with no: Does the microscope stand at 30 keV, as machine 'm' says; the beam is off")]
    [InlineData("0.4 pA", "3 pA", "error PC2215: with the beam blanked 3 pA reach the sample, and by the machine file at most 1 pA may")]
    [InlineData("start/current: 100 pA", "start/current: 130 pA", "error PC2212: the current was read as 130 pA, and the machine file has 100 pA: more than 20 % apart")]
    public void What_is_not_as_it_must_be_ends_the_run_before_the_beam(string from, string to, string expected)
    {
        using WorkFolder folder = Job("").With("answers.yaml", Start.Replace(from, to, StringComparison.Ordinal));
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        Assert.Contains(expected, folder.Run("run", "job.yaml", "--link", cable.Name, "--log", "runs.log", "--answers", "answers.yaml").Expect(4).Errors, StringComparison.Ordinal);
        Assert.Empty(Directory.GetDirectories(folder.Path, "runs-*"));
        Assert.Empty(Dots(cable.Finish()));
    }

    [Theory]
    [InlineData("start/enrgy: yes", "answers.yaml:1:1: error PC2216: no question of this run is 'start/enrgy'; is 'start/energy' meant?")]
    [InlineData("start/energy: maybe", "error PC2216: 'start/energy' takes yes or no, not 'maybe'")]
    [InlineData("start/current: 3 nm", "error PC2216: 'start/current' takes a current such as 98 pA, not '3 nm'")]
    public void Answers_that_fit_no_question_are_refused(string line, string expected)
    {
        using WorkFolder folder = Job("").With("answers.yaml", line + "\n");
        Assert.Contains(expected, folder.Run("run", "job.yaml", "--link", "none", "--log", "runs.log", "--answers", "answers.yaml").Expect(1).Errors, StringComparison.Ordinal);
        Assert.DoesNotContain("runs.log", folder.Entries);
    }

    /// <summary>The cable is pulled amid a step, or before its first record: what the message advises works, and nothing is written twice.</summary>
    [Theory]
    [InlineData(6000)]
    [InlineData(300)]
    public void A_cable_that_is_pulled_ends_a_step_and_nothing_is_written_twice(int breaksAt)
    {
        const string Answers = "any/stage: yes\nany/focus: 8 mm\nany/current: 98 pA\n";
        using WorkFolder folder = Job(TwoFields).With("answers.yaml", Start + Answers).With("later.yaml", Start.Replace("start/current: 100 pA", "start/current: 90 pA", StringComparison.Ordinal) + Answers);
        string[] Command(string link, string answers) => ["run", "job.yaml", "--link", link, "--log", "runs.log", "--answers", answers, "--timeout", "1", "--retries", "0"];
        string[] first;
        using (var broken = new BadCable(receiver.PathOf("receive"), 16, 1, breaksAt: breaksAt))
        {
            folder.Run(Command(broken.Name, "answers.yaml")).Expect(4);
            first = Dots(broken.Finish());
        }

        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        string[] again = [.. Command(cable.Name, "later.yaml"), "--resume", "last"];
        Outcome refused = folder.Run(again).Expect(1);
        Match told = Regex.Match(refused.Errors, @"error PC2217: step (\S+) ended early; records 1 to (\d+) of \d+ are written, and of those behind nothing is sure\. Its last message was: \S+ error PC20.*; look at the sample for what is written last, and state the record to go on with: --from (\d+) ");
        Assert.True(told.Success, refused.Errors);
        int written = int.Parse(told.Groups[2].Value, CultureInfo.InvariantCulture);
        Assert.Equal(breaksAt < 1000, written == 0);
        Assert.Equal(breaksAt < 1000, first.Length == 0);
        if (written > 0)
        {
            Assert.Contains("are in the resist by this log", folder.Run([.. again, "--from", told.Groups[2].Value]).Expect(1).Errors, StringComparison.Ordinal);
        }

        // Without the stream that was begun there is nothing to go on with.
        string stream = Directory.GetFiles(Assert.Single(Directory.GetDirectories(folder.Path, "runs-*")), told.Groups[1].Value + ".stream").Single();
        File.Move(stream, folder["aside"]);
        Assert.Contains("error PC0002: there is no such file", folder.Run([.. again, "--from", told.Groups[3].Value]).Expect(4).Errors, StringComparison.Ordinal);
        File.Move(folder["aside"], stream);

        Outcome resumed = folder.Run([.. again, "--from", told.Groups[3].Value]).Expect(0);
        Assert.Matches(@"warning PC2219: the rest of \S+ was made for (100|98) pA, and the beam has 90 pA now: its doses are off by -(10|8\.2) %", resumed.Errors);
        Assert.Contains("outcome             written\n", folder.Run("log", "runs.log", "--run", "last").Expect(0).Output, StringComparison.Ordinal);
        Assert.Contains(" is written, all of it", folder.Run(again).Expect(1).Errors, StringComparison.Ordinal);

        // What the receiver has written and could not confirm any more is repeated, as the message says; nothing else is.
        string[] places = [.. first.Concat(Dots(cable.Finish())).Select(dot => dot[..dot.LastIndexOf(' ')])];
        Assert.Equal(800, places.Distinct().Count());
        Assert.Equal(first.Length - DotsAmong(folder, stream, written), places.Length - 800);
    }

    [Fact]
    public void A_record_is_stated_of_a_step_that_was_begun_alone_and_a_changed_pattern_is_not_gone_on_with()
    {
        using WorkFolder folder = Job(TwoFields).With("some.yaml", Start + "any/stage: yes\nany/focus: 8 mm\n");
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        string[] command = ["run", "job.yaml", "--link", cable.Name, "--log", "runs.log", "--answers", "some.yaml"];
        folder.Run(command).Expect(4);
        Assert.Contains("was begun and not ended, so there is no record to go on with; leave out --from", folder.Run([.. command, "--resume", "last", "--from", "3"]).Expect(1).Errors, StringComparison.Ordinal);
        Assert.Contains("error PC2217: the job no longer gives the pattern", Changed(folder).Run([.. command, "--resume", "last"]).Expect(1).Errors, StringComparison.Ordinal);
        cable.Finish();
    }

    [Fact]
    public void Copies_have_their_dose_and_focus_without_a_job_each()
    {
        using WorkFolder folder = Job("run: {copies: [{name: low, at: [-20 um, 0 um], dose: 0.5, focus: -2 um}, {name: high, at: [5 um, 0 um], focus: 2 um}]}\n")
            .With("a.layout", "layout 1\nunit um\nlayer a\n" + Square("a", 0))
            .With("answers.yaml", Start + "any/focus set: yes\n");
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        folder.Run("run", "job.yaml", "--link", cable.Name, "--log", "runs.log", "--answers", "answers.yaml").Expect(0);
        string run = Assert.Single(Directory.GetDirectories(folder.Path, "runs-*"));
        Assert.InRange(Ticks(folder, Path.Combine(run, "high.stream")) / (double)Ticks(folder, Path.Combine(run, "low.stream")), 1.99, 2.01);
        cable.Finish();

        // A layer with a base dose of its own follows, too.
        folder.With("job.yaml", File.ReadAllText(folder["job.yaml"]) + "layers: [{layer: a, dot_charge: 15 fC}]\n");
        using var other = new BadCable(receiver.PathOf("receive"), 16, 1);
        folder.Run("run", "job.yaml", "--link", other.Name, "--log", "own.log", "--answers", "answers.yaml").Expect(0);
        string own = Assert.Single(Directory.GetDirectories(folder.Path, "own-*"));
        Assert.InRange(Ticks(folder, Path.Combine(own, "low.stream")) / (double)Ticks(folder, Path.Combine(run, "low.stream")), 1.49, 1.51);
        Assert.InRange(Ticks(folder, Path.Combine(own, "high.stream")) / (double)Ticks(folder, Path.Combine(own, "low.stream")), 1.99, 2.01);
        other.Finish();
        Assert.Contains(
            "error PC2218: 'high' asks for 900 times the dose, which makes a dose factor of 3 larger than 2000",
            folder.With("a.layout", "layout 1\nunit um\nlayer a\ndot on a dose 3 at (0, 0)\n").With("job.yaml", File.ReadAllText(folder["job.yaml"]).Replace("focus: 2 um", "dose: 900", StringComparison.Ordinal))
                .Run("run", "job.yaml", "--dry-run").Expect(1).Errors, StringComparison.Ordinal);
        folder.With("a.layout", "layout 1\nunit um\nlayer a\n" + Square("a", 0)).With("job.yaml", File.ReadAllText(folder["job.yaml"]).Replace("dose: 900", "focus: 2 um", StringComparison.Ordinal));
        Assert.Contains(
            "beyond the field", folder.With("job.yaml", File.ReadAllText(folder["job.yaml"]).Replace("5 um, 0 um", "50 um, 0 um", StringComparison.Ordinal)).Run("run", "job.yaml", "--dry-run").Expect(1).Errors, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public void Groups_of_layers_are_written_one_after_the_other()
    {
        using WorkFolder folder = Job("run: {groups: {coarse: [b]}}\n").With("a.layout", "layout 1\nunit um\nlayer a\nlayer b\n" + Square("a", 0) + Square("b", 3)).With("answers.yaml", Start);
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        Outcome held = folder.Run("run", "job.yaml", "--link", cable.Name, "--log", "runs.log", "--answers", "answers.yaml").Expect(4);
        Assert.Contains("nobody answers 'rest/go on' (Go on with rest)", held.Errors, StringComparison.Ordinal);
        cable.Finish();
        Assert.Contains("names layer 'c', on which nothing is written; there is 'a', 'b'", folder.With("job.yaml", File.ReadAllText(folder["job.yaml"]).Replace("[b]", "[c]", StringComparison.Ordinal)).Run("run", "job.yaml", "--dry-run").Expect(1).Errors, StringComparison.Ordinal);
    }

    /// <summary>Groups of one write field are written from one position of the stage: it is asked for once, and again where the run is resumed amid the field.</summary>
    [Fact]
    public void The_stage_is_asked_for_once_in_each_field_and_again_after_a_stop()
    {
        using WorkFolder folder = Job("fields: {size: 40 um, margin: 2 um, first: [-20 um, 0 um]}\nrun: {groups: {coarse: [b]}}\n")
            .With("a.layout", "layout 1\nunit um\nlayer a\nlayer b\n" + Square("a", -20) + Square("b", -17) + Square("a", 20) + Square("b", 23));
        string plan = folder.Run("run", "job.yaml", "--dry-run").Expect(0).Output;
        Assert.Equal(["r01c01 coarse/stage", "r01c02 coarse/stage"], Regex.Matches(plan, "(?m)^# '?(r[^:']*/stage)").Select(match => match.Groups[1].Value));
        Assert.Equal(["r01c01 rest/go on", "r01c02 rest/go on"], Regex.Matches(plan, "(?m)^# '?(r[^:']*/go on)").Select(match => match.Groups[1].Value));

        // Held before the second group of the first field; who resumes there may have moved the stage.
        folder.With("answers.yaml", Start + "r01c01 coarse/stage: yes\n");
        string[] run = ["run", "job.yaml", "--log", "runs.log", "--answers", "answers.yaml", "--link"];
        using (var first = new BadCable(receiver.PathOf("receive"), 16, 1))
        {
            Assert.Contains("nobody answers 'r01c01 rest/go on'", folder.Run([.. run, first.Name]).Expect(4).Errors, StringComparison.Ordinal);
            Assert.Equal("beam off", first.Finish()[^1]);
        }

        using (var second = new BadCable(receiver.PathOf("receive"), 16, 1))
        {
            Assert.Contains("nobody answers 'r01c01 rest/stage'", folder.Run([.. run, second.Name, "--resume", "last"]).Expect(4).Errors, StringComparison.Ordinal);
            second.Finish();
        }

        folder.With("answers.yaml", Start + "r01c01 rest/stage: yes\nr01c02 coarse/stage: yes\nany/go on: yes\n");
        using var third = new BadCable(receiver.PathOf("receive"), 16, 1);
        folder.Run([.. run, third.Name, "--resume", "last"]).Expect(0);
        Assert.NotEmpty(third.Finish());
    }

    [Fact]
    public void Options_that_do_not_go_together_are_refused()
    {
        using WorkFolder folder = Job("");
        Assert.Contains("options '--link' and '--log' say where", folder.Run("run", "job.yaml").Expect(2).Errors, StringComparison.Ordinal);
        Assert.Contains("option '--from' goes with '--resume'", folder.Run("run", "job.yaml", "--link", "x", "--log", "l.log", "--from", "3").Expect(2).Errors, StringComparison.Ordinal);
    }

    [FactWith("script")]
    public void At_a_terminal_questions_are_asked_and_wrong_answers_asked_again()
    {
        using WorkFolder folder = Job("").With("typed.txt", "yes\nperhaps\nyes\nyes\nyes\nyes\nyes\n0 pA\n100 pA\n");
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        Outcome outcome = Executable.Shell(
            folder.Path, $"(sleep 2; while read line; do echo \"$line\"; sleep 0.3; done < typed.txt; sleep 3) | script -qec '{Executable.Path} run job.yaml --link {cable.Name} --log runs.log' /dev/null");
        Assert.Contains("start/sample: Is the sample in, with the resist of process 'p', which is positive? ", outcome.Output, StringComparison.Ordinal);
        Assert.Contains("takes yes or no", outcome.Output, StringComparison.Ordinal);
        Assert.Contains("written: 1 step, run ", outcome.Output, StringComparison.Ordinal);
        Assert.NotEmpty(Dots(cable.Finish()));
    }

    [FactWith("script")]
    public void Interrupted_at_a_question_it_ends_at_once_and_has_sent_nothing()
    {
        using WorkFolder folder = Job("");
        Executable.Shell(folder.Path, $"(sleep 4; printf '\\003'; sleep 1) | script -qec '{Executable.Path} run job.yaml --link /dev/null --log runs.log' /dev/null").Expect(130);
        Assert.DoesNotContain("runs.log", folder.Entries);
    }

    private static WorkFolder Changed(WorkFolder folder) => folder.With("a.layout", "layout 1\nunit um\nlayer a\n" + Square("a", -22) + Square("a", 20));

    private static string[] Dots(string[] actions) => [.. actions.Where(line => line.StartsWith("dot", StringComparison.Ordinal) || line.StartsWith("line", StringComparison.Ordinal))];

    /// <summary>Sum of the dwells of all dots.</summary>
    private static long Ticks(WorkFolder folder, string stream) => folder.Run("decode", stream).Expect(0).Output.Split('\n')
        .Where(line => line.StartsWith("dot ", StringComparison.Ordinal)).Sum(line => long.Parse(line.Split(' ')[^1], CultureInfo.InvariantCulture));

    private static int DotsAmong(WorkFolder folder, string stream, int records) => folder.Run("decode", stream).Expect(0).Output.Split('\n')
        .Where(line => line.Split(' ')[0] is "jump" or "dot" or "line" or "wait" or "marker").Take(records).Count(line => line.StartsWith("dot ", StringComparison.Ordinal));

    private static string Square(string layer, double x) => string.Concat(Enumerable.Range(0, 400).Select(
        i => FormattableString.Invariant($"dot on {layer} at ({x + (i % 20 * 0.05):0.##}, {i / 20 * 0.05:0.##})\n")));

    private static WorkFolder Job(string more) => new WorkFolder()
        .With("machine.yaml", Machine)
        .With("process.yaml", "process: p\ndose: {area: 100 uC/cm2, line: 1 nC/cm, dot: 10 fC}\nresist: {onset: 40 uC/cm2, clearing: 60 uC/cm2}\n")
        .With("a.layout", "layout 1\nunit um\nlayer a\n" + Square("a", -21) + Square("a", 20))
        .With("job.yaml", "job: two\nmachine: machine.yaml\nprocess: process.yaml\nsources: [a.layout]\n" + more);
}
