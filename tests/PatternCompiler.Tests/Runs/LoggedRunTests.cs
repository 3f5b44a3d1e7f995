using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.Runs;

namespace PatternCompiler.Tests.Runs;

public sealed class LoggedRunTests
{
    private static readonly DateTime Night = new(2026, 3, 1, 22, 0, 0, DateTimeKind.Utc);

    private static readonly RunLogLine[] Log =
    [
        Line(0, "20260301T2200-1", 1, RunEvent.Started) with { Stream = "out/Chip.stream", Sha256 = "ab12", Machine = "desk writer", Records = 900, From = 1, Job = "job.yaml", Version = "0.1.0", Link = "/dev/ttyACM0", Notes = Notes("lot", "7", "bake", "180 C") },
        Line(1, "20260301T2200-1", 1, RunEvent.Progress) with { Written = 300 },
        Line(2, "20260301T2200-1", 1, RunEvent.Fault) with { Written = 310, Text = "a block was damaged" },
        Line(3, "20260301T2203-9", 1, RunEvent.Started) with { Stream = "dots.stream", Sha256 = "cd34", Machine = "bench writer", Records = 20, From = 1 },
        Line(5, "20260301T2200-1", 1, RunEvent.Stopped) with { Written = 400 },
        Line(60, "20260301T2200-1", 2, RunEvent.Started) with { Stream = "out/Chip.stream", Sha256 = "ab12", Machine = "desk writer", Records = 900, From = 401, Provenance = JsonDocument.Parse("""{"inputs":[{"name":"a.dxf","sha256":"00ff"}]}""").RootElement },
        Line(125, "20260301T2200-1", 2, RunEvent.Written) with { Written = 900 },
        Line(9000, "20260301T2200-1", 2, RunEvent.Noted) with { Notes = Notes("bake", "170 C", "developer", "60 s") },
        Line(9001, "20260302T0030-1", 1, RunEvent.Started) with { Stream = "late.stream", From = 1 },
        Line(9002, "20260302T0030-1", 1, RunEvent.Failed) with { Code = "PC2021", Text = "the link broke" },
    ];

    [Fact]
    public void Parts_faults_and_notes_of_a_run_are_one()
    {
        LoggedRun[] runs = [.. Read()];
        Assert.Equal(["20260301T2200-1", "20260301T2203-9", "20260302T0030-1"], runs.Select(run => run.First.Run));
        Assert.Equal((2, 900L, 1, RunOutcome.Written, "job.yaml", 125.0), (runs[0].Parts, runs[0].Written, runs[0].Faults, runs[0].Outcome, runs[0].Job, (runs[0].Last.Time - Night).TotalSeconds));
        Assert.Equal("bake=170 C developer=60 s lot=7", string.Join(' ', runs[0].Notes.Select(note => $"{note.Key}={note.Value}")));
        Assert.Equal("00ff", runs[0].Provenance!.Value.GetProperty("inputs")[0].GetProperty("sha256").GetString());
        Assert.Equal((RunOutcome.Open, 0L), (runs[1].Outcome, runs[1].Written));
        Assert.Equal(RunOutcome.Failed, runs[2].Outcome);
    }

    [Fact]
    public void Filters_take_what_they_name()
    {
        (RunFilter Filter, string Taken)[] cases =
        [
            (new RunFilter(), "012"),
            (new RunFilter { Stream = "chip" }, "0"),
            (new RunFilter { Stream = "CD3" }, "1"),
            (new RunFilter { Stream = "d34" }, ""),
            (new RunFilter { Machine = "Writer" }, "01"),
            (new RunFilter { Since = Night.AddSeconds(3) }, "12"),
            (new RunFilter { Until = Night.AddSeconds(3) }, "0"),
            (new RunFilter { Since = Night.AddSeconds(3), Until = Night.AddSeconds(4) }, "1"),
            (new RunFilter { Outcome = RunOutcome.Written }, "0"),
            (new RunFilter { Outcome = RunOutcome.Open }, "1"),
            (new RunFilter { Notes = [new("lot", "7")] }, "0"),
            (new RunFilter { Notes = [new("lot", "7"), new("bake", "180 C")] }, ""),
        ];
        LoggedRun[] runs = [.. Read()];
        Assert.Equal(cases.Select(each => each.Taken), cases.Select(each => string.Concat(Enumerable.Range(0, 3).Where(i => each.Filter.Takes(runs[i])))));
    }

    [Fact]
    public void A_run_is_found_by_the_beginning_of_its_name()
    {
        LoggedRun[] runs = [.. Read()];
        Assert.Same(runs[1], RunName.Find("20260301T2203", runs, "runs.log"));
        Assert.Same(runs[2], RunName.Find("last", runs, "runs.log"));
        LoggedRun[] alike = [runs[0], new LoggedRun(runs[0].First with { Run = runs[0].First.Run + "0" })];
        Assert.Same(alike[0], RunName.Find(alike[0].First.Run, alike, "runs.log"));
        Assert.Equal(
            ["runs.log: error PC2206: 2 runs have names that begin with '20260301'; write more of the name", "runs.log: error PC2206: no run of 3 runs is named 'x'; 'patternc log' lists them", "runs.log: error PC2206: no run of 3 runs is named ''; 'patternc log' lists them", "runs.log: error PC2206: no run of 0 runs is named 'last'; 'patternc log' lists them"],
            new[] { ("20260301", runs), ("x", runs), ("", runs), ("last", []) }.Select(each => Assert.Throws<CompileException>(() => RunName.Find(each.Item1, each.Item2, "runs.log")).Message));
    }

    [Fact]
    public void Lists_and_details_are_told_in_words()
    {
        Assert.Equal(
            """
            run              begun (UTC)          lasted      stream           machine       records     outcome  notes
            20260301T2200-1  2026-03-01 22:00:00  2 min 05 s  out/Chip.stream  desk writer   900 of 900  written  bake=170 C; developer=60 s; lot=7
            20260301T2203-9  2026-03-01 22:00:03  0 s         dots.stream      bench writer  0 of 20     open
            20260302T0030-1  2026-03-02 00:30:01  1 s         late.stream                    0           failed

            """.ReplaceLineEndings("\n"),
            RunText.Table(Read()));
        string details = RunText.Details(Read()[0]);
        foreach (string line in (string[])["outcome             written\n", "parts               2\n", "faults of the link  1\n", "note developer      60 s\n", "made from           a.dxf 00ff\n", "job                 job.yaml\n"])
        {
            Assert.Contains(line, details, StringComparison.Ordinal);
        }

        Assert.Contains("outcome             failed: the link broke\n", RunText.Details(Read()[2]), StringComparison.Ordinal);
    }

    private static RunLogLine Line(double seconds, string run, int part, RunEvent what) => new(Night.AddSeconds(seconds), run, part, what);

    private static SortedDictionary<string, string> Notes(params string[] words)
    {
        var notes = new SortedDictionary<string, string>(StringComparer.Ordinal);
        for (int i = 0; i < words.Length; i += 2)
        {
            notes.Add(words[i], words[i + 1]);
        }

        return notes;
    }

    private static System.Collections.Immutable.ImmutableArray<LoggedRun> Read() => LoggedRun.ReadAll(new MemoryStream([.. Log.SelectMany(line => line.ToBytes())]), "runs.log");
}
