using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Runs;

namespace PatternCompiler.Tests.Runs;

public sealed class RunHistoryTests
{
    private static readonly DateTime Night = new(2026, 3, 1, 22, 15, 4, 250, DateTimeKind.Utc);

    [Fact]
    public void A_line_is_json_with_times_in_utc_and_nothing_that_is_not_known()
    {
        RunLogLine line = Started("r1", 1, "ab12", 1) with { Machine = "lab é", Stream = "a\nb", Records = 900 };
        string text = Encoding.UTF8.GetString(line.ToBytes());
        Assert.Equal(
            """{"time":"2026-03-01T22:15:04.25Z","run":"r1","part":1,"event":"started","stream":"a\nb","sha256":"ab12","machine":"lab \u00E9","records":900,"from":1}""" + "\n",
            text);
        Assert.Equal(line, RunLogLine.TryRead(text));
        Assert.All((string[])["", "{}", "[]", "null", "x", """{"time":"2026-03-01T22:15:04Z","run":"r1","part":0,"event":"started"}""", """{"time":"2026-03-01T22:15:04Z","part":1,"event":"started"}""", """{"time":"2026-03-01T22:15:04Z","run":"r","part":1,"event":"eaten"}"""], wrong => Assert.Null(RunLogLine.TryRead(wrong)));
    }

    [Fact]
    public void Parts_of_a_run_join_and_what_is_written_is_not_sent_again()
    {
        RunHistory history = Read("ab12", Started("r1", 1, "ab12", 1), Line("r1", 1, RunEvent.Progress, 150), Line("r1", 1, RunEvent.Stopped, 200));
        Assert.Equal(new RunHistory("r1", 1, 200, false, Night.AddSeconds(200), false), history);
        var sink = new DiagnosticSink();
        Assert.Equal(("r1", 2), history.Join(201, "fresh", "runs.log", sink));
        Assert.Empty(sink.Collected);
        Assert.Equal(
            "runs.log: error PC2202: records 200 to 200 of this stream are in the resist by this log: the run ended 2026-03-01 22:18:24 UTC; go on with --from 201; for another sample name another log",
            Assert.Throws<CompileException>(() => history.Join(200, "fresh", "runs.log", sink)).Message);

        Assert.Equal(("r1", 2), history.Join(203, "fresh", "runs.log", sink));
        Assert.Equal(("fresh", 1), history.Join(1, "fresh", "runs.log", sink));
        Assert.Equal(
            [
                "runs.log: warning PC2203: records 201 to 202 of this stream are written by no part of this run; if they are not in the resist, send them, too",
                "runs.log: warning PC2204: this stream was sent before and ended after record 200 at 2026-03-01 22:18:24 UTC; now it begins anew, and on the same sample those records are written twice; on the same sample stop, and go on with --from 201",
            ],
            sink.Collected.Select(message => message.ToString()));
    }

    [Fact]
    public void A_run_that_is_complete_is_over()
    {
        RunHistory history = Read(
            "ab12", Started("r1", 1, "ab12", 1), Line("r1", 1, RunEvent.Failed, 200), Started("r1", 2, "ab12", 201), Line("r1", 2, RunEvent.Progress, 250), Line("r1", 2, RunEvent.Written, 900));
        Assert.Equal((2, 900L, true), (history.Part, history.Written, history.IsComplete));
        var sink = new DiagnosticSink();
        Assert.Equal(("fresh", 1), history.Join(1, "fresh", "runs.log", sink));
        Assert.Empty(sink.Collected);
        Assert.EndsWith("for another sample send the whole stream, or name another log", Assert.Throws<CompileException>(() => history.Join(500, "fresh", "runs.log", sink)).Message, StringComparison.Ordinal);
    }

    /// <summary>What was written before a part begins is in the resist even where the part itself got nowhere, and in a log that begins with a later part.</summary>
    [Fact]
    public void Progress_never_goes_back_over_parts()
    {
        Assert.Equal(200, Read("ab12", Started("r1", 1, "ab12", 1), Line("r1", 1, RunEvent.Failed, 200), Started("r1", 2, "ab12", 203), Line("r1", 2, RunEvent.Failed, 0)).Written);
        Assert.Equal(200, Read("ab12", Started("r2", 1, "ab12", 201)).Written);
    }

    [Fact]
    public void Other_streams_and_other_runs_do_not_count()
    {
        RunLogLine[] log =
        [
            Started("r1", 1, "ab12", 1), Line("r1", 1, RunEvent.Progress, 700), Started("r2", 1, "ffff", 1), Line("r2", 1, RunEvent.Progress, 20),
            Line("r1", 1, RunEvent.Stopped, 800), Line("r2", 1, RunEvent.Failed, 30), Started("r3", 1, "ab12", 1), Line("r3", 1, RunEvent.Progress, 40),
        ];
        Assert.Equal(("r3", 40L), (Read("ab12", log).Run, Read("ab12", log).Written));
        Assert.Equal(("r2", 30L), (Read("ffff", log).Run, Read("ffff", log).Written));
        Assert.Null(Read("0000", log).Run);
        Assert.Null(Read(null, log).Run);
        Assert.Equal(("fresh", 1), Read(null, log).Join(7, "fresh", "runs.log", new DiagnosticSink()));
    }

    [Fact]
    public void A_last_line_that_was_cut_short_is_no_fault_and_anything_else_is()
    {
        byte[] whole = [.. Started("r1", 1, "ab12", 1).ToBytes(), .. Line("r1", 1, RunEvent.Progress, 90).ToBytes()];
        for (int length = Started("r1", 1, "ab12", 1).ToBytes().Length; length < whole.Length; length++)
        {
            RunHistory cut = RunHistory.Read(new MemoryStream(whole[..length]), "runs.log", "ab12");
            Assert.Equal("r1", cut.Run);
            Assert.Equal(length > Started("r1", 1, "ab12", 1).ToBytes().Length, cut.EndsInMiddle);

            // Whoever adds to it next ends the line first, and all that is whole counts.
            byte[] after = [.. whole[..length], .. "\n"u8, .. Line("r1", 1, RunEvent.Stopped, 120).ToBytes()];
            Assert.Equal((120L, false), (RunHistory.Read(new MemoryStream(after), "runs.log", "ab12").Written, RunHistory.Read(new MemoryStream(after), "runs.log", "ab12").EndsInMiddle));
        }

        Assert.Null(RunHistory.Read(new MemoryStream(), "runs.log", "ab12").Run);
        foreach (byte[] other in (byte[][])[[.. "PCXS\n"u8], [.. "no line feed"u8], [.. whole, .. "other\n"u8, .. whole], new byte[200_000], [.. "\n"u8]])
        {
            Assert.Contains(": error PC2201: this is not a line of a log of runs", Assert.Throws<CompileException>(() => RunHistory.Read(new MemoryStream(other), "runs.log", "ab12")).Message, StringComparison.Ordinal);
        }
    }

    private static RunLogLine Started(string run, int part, string hash, long from) => new(Night, run, part, RunEvent.Started) { Sha256 = hash, From = from };

    private static RunLogLine Line(string run, int part, RunEvent what, long written) => new(Night.AddSeconds(written), run, part, what) { Written = written };

    private static RunHistory Read(string? hash, params RunLogLine[] lines) =>
        RunHistory.Read(new MemoryStream([.. lines.SelectMany(line => line.ToBytes())]), "runs.log", hash);
}
