using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Records;
using PatternCompiler.Send;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.Send;

/// <summary>How sending ends, and what the operator is told, for a receiver that misbehaves.</summary>
public sealed class SenderTests
{
    private const string BeamOff = "the receiver confirms that the beam is off";
    private const string BeamUnknown = "the receiver does not confirm that the beam is off";
    private const string MakeSure = "make sure that the beam is off, check the cable and the receiver";
    private const string Look = "no command goes on safely: look at the sample, and send from the first record that is missing there";

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Everything_is_written_once_and_no_block_comes_without_credit(bool isSlow)
    {
        var receiver = new FakeReceiver { IsSlow = isSlow };
        var seen = new List<SendProgress>();
        Assert.Equal(new SendReport(Sending.Total, 0, false), Sending.Run(receiver, observer: seen.Add));
        Assert.Equal(Sending.Records, receiver.Written);
        Assert.False(receiver.WasOverrun);
        Assert.Equal(1, receiver.Arrived['H']);
        Assert.Equal((Sending.Total, 0.0), (seen[^1].RecordsWritten, seen[^1].SecondsLeft));
    }

    /// <summary>A tick of the 10 MHz clock is 100 ns; what is told as written and as left is the whole at any time, from any record, and after a fault of the link.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(6)]
    [InlineData(203)]
    public void Progress_is_told_in_seconds(int first)
    {
        double Seconds(IEnumerable<DeflectionRecord> records) => records.Where(record => record.Kind != RecordKind.Marker).Sum(record => record.Ticks) * 1e-7;
        var receiver = new FakeReceiver { IsSlow = true };
        Ends(receiver, 'R', 7, () => receiver.Leave('F', 3, 0));
        var seen = new List<SendProgress>();
        Sending.Run(receiver, Sending.Usual with { FirstRecord = first }, observer: seen.Add);
        Assert.All(seen, at =>
        {
            Assert.Equal(Seconds(Sending.Records.Skip(first)), at.SecondsWritten + at.SecondsLeft!.Value, 1e-5);
            Assert.Equal(Seconds(Sending.Records.Skip(first).Take((int)at.RecordsWritten - first)), at.SecondsWritten, 1e-5);
        });
        Assert.True(seen.Count > 5);
        Assert.True(seen.Exists(at => at.SecondsWritten > 0 && at.SecondsLeft > 0));
    }

    /// <summary>What comes through a pipe has no total and no known clock: records are counted, and no time is claimed.</summary>
    [Fact]
    public void Progress_of_a_pipe_is_told_in_records_alone()
    {
        var seen = new List<SendProgress>();
        Sending.Run(new FakeReceiver { IsSlow = true }, source: new PiecewiseStream(Sending.Stream, 999), observer: seen.Add);
        Assert.Equal(seen.Select(at => new SendProgress(at.RecordsWritten, 0, 0, null, null)), seen);
        Assert.Equal(seen.Select(at => at.RecordsWritten).Order(), seen.Select(at => at.RecordsWritten));
        Assert.True(seen.Count > 5);
        Assert.Equal(Sending.Total, seen[^1].RecordsWritten);
    }

    [Fact]
    public void A_stop_at_the_receiver_ends_the_run()
    {
        var receiver = new FakeReceiver();
        Ends(receiver, 'R', 3, () => receiver.Leave('S', 0, 0));
        string error = Sending.Error(receiver);
        long written = receiver.Written.Count;
        Assert.Equal(
            $"chip: error PC2021: the receiver was stopped; records 1 to {written} are written, and nothing after them; {BeamOff}; fix the cause, then send from record {written + 1}", error);
        Assert.Equal(4, receiver.Arrived['R']);
        Assert.Equal(1, receiver.Arrived['H']);
    }

    [Theory]
    [InlineData(2, "the stream is not for this receiver", "emit the stream with the machine file of this receiver")]
    [InlineData(5, "the receiver found a record that makes no sense", "fix the cause, then send from record {0}")]
    [InlineData(8, "the receiver's hardware objects", "fix the cause, then send from record {0}")]
    [InlineData(77, "the receiver reports fault 77", "fix the cause, then send from record {0}")]
    public void A_fault_that_is_not_of_the_link_ends_the_run(int fault, string what, string remedy)
    {
        var receiver = new FakeReceiver();
        Ends(receiver, 'R', 3, () => receiver.Leave('F', fault, 0));
        string error = Sending.Error(receiver);
        long written = receiver.Written.Count;
        Assert.Equal(
            $"chip: error PC2021: {what}; records 1 to {written} are written, and nothing after them; {BeamOff}; " +
            string.Format(System.Globalization.CultureInfo.InvariantCulture, remedy, written + 1),
            error);
        Assert.Equal(1, receiver.Arrived['H']);
    }

    [Fact]
    public void Other_totals_leave_everything_in_doubt()
    {
        var receiver = new FakeReceiver();
        Ends(receiver, 'E', 0, () => receiver.Leave('F', 7, 0));
        Assert.Equal(
            $"chip: error PC2021: the receiver counted other totals than the stream states; of records 1 to 400 (figures 0 to 99) nothing is known: they may be written, in part or not at all; {BeamOff}; {Look}",
            Sending.Error(receiver));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(6)]
    public void A_fault_of_the_link_is_gone_on_behind(int fault)
    {
        var receiver = new FakeReceiver { IsSlow = true };
        Ends(receiver, 'R', 7, () => receiver.Leave('F', fault, 2));
        Assert.Equal(new SendReport(Sending.Total, 1, false), Sending.Run(receiver));
        Assert.Equal(Exposing(Sending.Records), Exposing(receiver.Written));
    }

    [Fact]
    public void Too_many_faults_of_the_link_end_the_run()
    {
        var receiver = new FakeReceiver();
        receiver.Arrives = (kind, _) =>
        {
            if (kind == 'R')
            {
                receiver.Leave('F', 3, 0);
            }

            return kind != 'R';
        };
        Assert.Equal(
            $"chip: error PC2021: the receiver found a block damaged; nothing is written by this run; {BeamOff}; fix the cause, then send it again",
            Sending.Error(receiver));
        Assert.Equal(1 + Sending.Usual.MostRetries, receiver.Arrived['H']);
    }

    [Fact]
    public void A_cut_record_is_left_to_the_operator()
    {
        var receiver = new FakeReceiver { IsSlow = true };
        Ends(receiver, 'R', 2, () => receiver.Leave('F', 3, 6, isCut: true));
        string error = Sending.Error(receiver);
        Assert.Equal(
            $"chip: error PC2022: the receiver found a block damaged; records 1 to 6 are written, record 7 (a dot of figure 1) was cut short and has a part of its dose, nothing after it is written; {BeamOff}; look at the sample, then send from record 7 to repeat it, or from record 8 to skip it",
            error);
        Assert.Equal([Sending.Records[6]], receiver.Cut);
        Assert.Equal(1, receiver.Arrived['H']);
    }

    [Fact]
    public void A_jump_that_was_cut_short_has_no_dose_and_is_repeated()
    {
        var receiver = new FakeReceiver { IsSlow = true };
        Ends(receiver, 'R', 2, () => receiver.Leave('F', 3, 5, isCut: true));
        Assert.Equal(1, Sending.Run(receiver).Retries);
        Assert.Empty(receiver.Cut);
        Assert.Equal(Exposing(Sending.Records), Exposing(receiver.Written));
    }

    [Fact]
    public void The_jump_that_was_added_has_no_dose_either()
    {
        // Behind the third record comes a line, so the rest starts with an added jump, and that is what the second fault cuts.
        var receiver = new FakeReceiver { IsSlow = true };
        bool wasCut = false;
        receiver.Arrives = (kind, turn) =>
        {
            if (kind == 'R' && turn is (2 or 4))
            {
                receiver.Leave('F', 3, turn == 2 ? 3 : 0, isCut: turn == 4);
                wasCut |= receiver.Last.WasCut;
            }

            return kind != 'R' || turn is not (2 or 4);
        };
        Assert.Equal(2, Sending.Run(receiver).Retries);
        Assert.True(wasCut);
        Assert.Equal(Exposing(Sending.Records), Exposing(receiver.Written));
    }

    [Fact]
    public void A_record_cut_short_by_a_wanted_stop_is_told()
    {
        using var stop = new CancellationTokenSource();
        var receiver = new FakeReceiver { IsSlow = true };
        receiver.Arrives = (kind, turn) =>
        {
            if (kind == 'R' && turn == 3)
            {
                stop.Cancel();
            }

            if (kind == 'S' && turn == 1)
            {
                receiver.Leave('S', 0, 3, isCut: true);
            }

            return true;
        };
        string error = Sending.Error(receiver, cancellation: stop.Token);
        Assert.Equal(
            $"chip: error PC2022: stop requested; records 1 to 3 are written, record 4 (a line of figure 0) was cut short and has a part of its dose, nothing after it is written; {BeamOff}; look at the sample, then send from record 4 to repeat it, or from record 5 to skip it",
            error);
    }

    [Fact]
    public void A_wanted_stop_is_confirmed()
    {
        using var stop = new CancellationTokenSource();
        var receiver = new FakeReceiver();
        Ends(receiver, 'R', 3, stop.Cancel, isLost: false);
        SendReport report = Sending.Run(receiver, cancellation: stop.Token);
        Assert.Equal(new SendReport(receiver.Written.Count, 0, true), report);
        Assert.Equal(2, receiver.Arrived['S']);
        Assert.Equal(4, receiver.Arrived['R']);
    }

    [Fact]
    public void A_wanted_stop_that_nobody_confirms_claims_nothing()
    {
        using var stop = new CancellationTokenSource();
        var receiver = new FakeReceiver { IsSlow = true };
        Ends(receiver, 'R', 3, stop.Cancel, isLost: false);
        receiver.Looked = () => receiver.Repeats = !stop.IsCancellationRequested;
        receiver.Says = message => stop.IsCancellationRequested ? null : message;
        string error = Sending.Error(receiver, cancellation: stop.Token);
        long sent = receiver.RecordsArrived;
        Assert.Equal(
            $"chip: error PC2020: the receiver does not confirm the stop; of records 1 to {sent} (figures 0 to {(sent - 1) / 4}) nothing is known: they may be written, in part or not at all; {BeamUnknown}; {MakeSure}; {Look}",
            error);
        Assert.InRange(receiver.Elapsed, TimeSpan.Zero, TimeSpan.FromSeconds(9));
    }

    [Fact]
    public void A_wanted_stop_at_a_receiver_with_a_fault_tells_the_fault()
    {
        using var stop = new CancellationTokenSource();
        var receiver = new FakeReceiver();
        Ends(receiver, 'R', 3, () => { stop.Cancel(); receiver.Leave('F', 8, 0); });
        Assert.StartsWith(
            "chip: error PC2021: the receiver's hardware objects; records 1 to", Sending.Error(receiver, cancellation: stop.Token), StringComparison.Ordinal);
    }

    [Fact]
    public void A_reset_ends_the_run_and_says_what_is_not_known()
    {
        var receiver = new FakeReceiver { IsSlow = true };
        Ends(receiver, 'R', 6, () => receiver.Reset(2));
        Assert.Matches(
            $"^chip: error PC2050: the receiver has started anew and knows nothing of the exposure; records 1 to (\\d+) are written; of records (\\d+) to (\\d+) \\(figures \\d+ to \\d+\\) nothing is known: they may be written, in part or not at all; {BeamOff}; {Look}$",
            Sending.Error(receiver));
        Assert.Equal(1, receiver.Arrived['H']);
        Assert.Equal(7, receiver.Arrived['R']);
    }

    [Fact]
    public void A_reset_told_by_the_answer_to_a_stop_ends_the_run_too()
    {
        var receiver = new FakeReceiver { IsSlow = true };
        bool isOut = false;
        Ends(receiver, 'R', 6, () => { receiver.Reset(0); isOut = true; });
        receiver.Says = message => isOut && receiver.Arrived['S'] < 2 ? null : message;
        Assert.StartsWith(
            "chip: error PC2050: the receiver has started anew and knows nothing of the exposure; records 1 to ", Sending.Error(receiver), StringComparison.Ordinal);
    }

    public static TheoryData<string, char, int, int, bool> Contradictions => new()
    {
        // Two blocks are known to be written and one more was sent when the receiver says this: kind, blocks, records, cut.
        { "the receiver takes back what it said was written", 'C', 1, 0, false },
        { "the receiver takes back what it said was written", 'F', 1, 9, false },
        { "the receiver says that it has written more than it was sent", 'C', 4, 0, false },
        { "the receiver says that it has written more than it was sent", 'C', 900, 0, false },
        { "the receiver says that it has written more than it was sent", 'S', 3, 1, false },
        { "the receiver says that it has written more than it was sent", 'F', 2, 200, false },
        { "the receiver says that it is done before the end", 'D', 3, 0, false },
        { "the receiver goes on behind a record that it cut short", 'C', 2, 1, true },
        { "the receiver says that it cut a record short that it was not sent", 'S', 3, 0, true },
    };

    [Theory]
    [MemberData(nameof(Contradictions))]
    public void A_word_that_cannot_be_true_ends_the_run(string what, char kind, int blocks, int records, bool isCut)
    {
        var receiver = new FakeReceiver();
        Ends(receiver, 'R', 2, () => receiver.Say(new LinkMessage(kind, kind == 'F' ? 3 : 0, isCut, (uint)blocks + 4, (uint)blocks, records)));
        Assert.StartsWith($"chip: error PC2050: {what}; records 1 to ", Sending.Error(receiver), StringComparison.Ordinal);
        Assert.Equal(1, receiver.Arrived['H']);
        Assert.Equal(2, receiver.Arrived['S']);
        Assert.Equal(3, receiver.Arrived['R']);
    }

    [Fact]
    public void Records_within_a_block_are_not_taken_back()
    {
        var receiver = new FakeReceiver { IsSlow = true };
        Ends(receiver, 'R', 2, () =>
        {
            receiver.Say(new LinkMessage('C', 0, false, 4, 0, 5));
            receiver.Say(new LinkMessage('C', 0, false, 4, 0, 4));
        });
        Assert.StartsWith(
            "chip: error PC2050: the receiver takes back what it said was written; records 1 to 5 are written; of records 6 to ", Sending.Error(receiver), StringComparison.Ordinal);
    }

    [Fact]
    public void Credit_is_not_taken_back()
    {
        var receiver = new FakeReceiver();
        Ends(receiver, 'R', 2, () => receiver.Say(new LinkMessage('C', 0, false, 3, 2, 0)));
        Assert.StartsWith("chip: error PC2050: the receiver takes back credit; records 1 to ", Sending.Error(receiver), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    public void The_end_block_may_be_counted_as_written_or_not(int difference)
    {
        var receiver = new FakeReceiver();
        receiver.Says = message => message.Kind == 'D' ? message with { BlocksWritten = (uint)(message.BlocksWritten + difference) } : message;
        Assert.Equal(Sending.Total, Sending.Run(receiver).RecordsWritten);
    }

    [Fact]
    public void Silence_is_ended_by_a_stop_and_gone_on_behind()
    {
        var receiver = new FakeReceiver();
        Ends(receiver, 'R', 5, () => { });
        Assert.Equal(new SendReport(Sending.Total, 1, false), Sending.Run(receiver));
        Assert.Equal(Exposing(Sending.Records), Exposing(receiver.Written));
    }

    [Fact]
    public void Done_may_be_the_answer_to_a_stop()
    {
        var receiver = new FakeReceiver();
        receiver.Says = message => message.Kind == 'D' && receiver.Arrived['S'] == 1 ? null : message;
        Assert.Equal(new SendReport(Sending.Total, 0, false), Sending.Run(receiver));
    }

    [Fact]
    public void Done_of_an_earlier_stream_is_not_done()
    {
        var receiver = new FakeReceiver { Last = new LinkMessage('D', 0, false, 0, 9, 0), Arrives = (kind, _) => kind != 'H' };
        Assert.Equal(
            $"chip: error PC2021: the receiver does not accept the stream's header; nothing is written by this run; {BeamOff}; fix the cause, then send it again",
            Sending.Error(receiver));
        Assert.Equal(0, receiver.Arrived['R']);
    }

    [Fact]
    public void A_lost_link_leaves_what_was_sent_unknown()
    {
        var receiver = new FakeReceiver();
        Ends(receiver, 'R', 5, () => receiver.IsGone = true);
        Assert.Matches(
            $"^chip: error PC2020: the link is gone; records 1 to (\\d+) are written; of records (\\d+) to (\\d+) \\(figures \\d+ to \\d+\\) nothing is known: they may be written, in part or not at all; {BeamUnknown}; {MakeSure}; {Look}$",
            Sending.Error(receiver));
    }

    [Fact]
    public void Nobody_there_is_told_before_anything_is_sent()
    {
        var receiver = new FakeReceiver { Repeats = false };
        Assert.Equal(
            $"chip: error PC2020: no receiver answers; nothing is written by this run; {BeamUnknown}; {MakeSure}; fix the cause, then send it again",
            Sending.Error(receiver));
        Assert.Equal(0, receiver.Arrived['H']);
    }

    [Fact]
    public void Messages_older_than_the_first_stop_are_not_its_answer()
    {
        // What an earlier program left unread: the receiver was idle, then took a header. It is in that stream still.
        var receiver = new FakeReceiver();
        receiver.Write(Sending.Stream.AsSpan(0, Sending.Stream[8] | Sending.Stream[9] << 8));
        Drain(receiver);
        receiver.Say(new LinkMessage('I', 0, false, 0, 0, 0));
        receiver.Say(new LinkMessage('C', 0, false, 4, 0, 0));
        Assert.Equal(new SendReport(Sending.Total, 0, false), Sending.Run(receiver));
        Assert.Equal(Sending.Records, receiver.Written);
        Assert.True(receiver.Elapsed >= TimeSpan.FromSeconds(0.5));
    }

    [Fact]
    public void A_refusal_of_an_earlier_stream_is_not_the_answer_to_this_one()
    {
        var receiver = new FakeReceiver { Last = new LinkMessage('F', 2, false, 0, 0, 0) };
        receiver.Arrives = (kind, _) =>
        {
            if (kind == 'H')
            {
                receiver.Say(receiver.Last);
            }

            return true;
        };
        Assert.Equal(new SendReport(Sending.Total, 0, false), Sending.Run(receiver));
    }

    [Fact]
    public void A_damaged_header_is_sent_again_at_once()
    {
        var receiver = new FakeReceiver();
        Ends(receiver, 'H', 0, () => receiver.Leave('F', 1, 0));
        Assert.Equal(new SendReport(Sending.Total, 0, false), Sending.Run(receiver));
        Assert.Equal((2, 1), (receiver.Arrived['H'], receiver.Arrived['S']));
    }

    [Fact]
    public void A_lost_header_is_sent_again_behind_a_stop()
    {
        var receiver = new FakeReceiver();
        Ends(receiver, 'H', 0, () => { });
        Assert.Equal(new SendReport(Sending.Total, 0, false), Sending.Run(receiver));
        Assert.Equal((2, 2), (receiver.Arrived['H'], receiver.Arrived['S']));
    }

    [Fact]
    public void Repeated_messages_are_no_progress()
    {
        var receiver = new FakeReceiver { IsSlow = true };
        bool hangs = false;
        Ends(receiver, 'R', 5, () => hangs = true, isLost: false);
        receiver.Says = message => hangs ? message with { Kind = 'C', Credit = 4, BlocksWritten = 0, RecordsWritten = 0 } : message;
        string error = Sending.Error(receiver);
        Assert.StartsWith("chip: error PC20", error, StringComparison.Ordinal);
        Assert.InRange(receiver.Elapsed, TimeSpan.FromSeconds(2), TimeSpan.FromSeconds(12));
    }

    [Theory]
    [InlineData(5)]
    [InlineData(5 + 512)]
    public void A_torn_stream_from_a_pipe_is_told_with_what_is_written(int missing)
    {
        var receiver = new FakeReceiver();
        string error = Sending.Error(receiver, source: new PiecewiseStream(Sending.Stream[..^missing], 300));
        long written = receiver.Written.Count;
        Assert.Equal(
            $"chip: error PC2006: the stream stops before its end; records 1 to {written} are written, and nothing after them; {BeamOff}; emit it again; fix the cause, then send from record {written + 1}",
            error);
        Assert.Equal(2, receiver.Arrived['S']);
    }

    [Fact]
    public void A_stream_from_a_pipe_that_stops_between_blocks_is_torn_as_well()
    {
        var receiver = new FakeReceiver();
        byte[] end = Sending.Stream[^38..];
        Assert.Equal((byte)'E', end[0]);
        Assert.StartsWith(
            $"chip: error PC2006: the stream stops before its end; records 1 to {Sending.Total} are written, and nothing after them; {BeamOff}",
            Sending.Error(receiver, source: new PiecewiseStream(Sending.Stream[..^38], 1000)),
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(2)] // length of a block
    [InlineData(0)] // type
    [InlineData(40)] // payload
    public void A_damaged_block_from_a_pipe_is_not_passed_on(int offset)
    {
        byte[] damaged = [.. Sending.Stream];
        damaged[HeaderLength + offset] ^= 0x20;
        var receiver = new FakeReceiver();
        Assert.Equal(
            $"chip: error PC2004: what is to be sent is no valid exposure stream; nothing is written by this run; {BeamOff}; emit it again; fix the cause, then send it again",
            Sending.Error(receiver, source: new PiecewiseStream(damaged, 999)));
        Assert.Equal(0, receiver.Arrived['R']);
    }

    [Fact]
    public void Bytes_behind_the_end_of_a_pipe_are_told()
    {
        var receiver = new FakeReceiver();
        Assert.Contains("more bytes follow the end of the stream", Sending.Error(receiver, source: new PiecewiseStream([.. Sending.Stream, .. Sending.Stream[HeaderLength..]], 999)), StringComparison.Ordinal);
    }

    [Fact]
    public void A_stream_from_a_pipe_cannot_be_gone_on_with()
    {
        var receiver = new FakeReceiver();
        Ends(receiver, 'R', 3, () => receiver.Leave('F', 3, 0));
        Assert.StartsWith("chip: error PC2021: the receiver found a block damaged; records 1 to ", Sending.Error(receiver, source: new PiecewiseStream(Sending.Stream, 999)), StringComparison.Ordinal);
        Assert.Equal(
            "chip: error PC2023: a stream from a pipe cannot be sent from its middle; send it from a file",
            Sending.Error(new FakeReceiver(), Sending.Usual with { FirstRecord = 1 }, new PiecewiseStream(Sending.Stream, 999)));
    }

    [Fact]
    public void The_rest_is_sent_from_any_record_on()
    {
        for (int first = 0; first <= Sending.Total; first += 3)
        {
            var receiver = new FakeReceiver();
            Assert.Equal(new SendReport(Sending.Total, 0, false), Sending.Run(receiver, Sending.Usual with { FirstRecord = first }));
            Assert.Equal(Exposing(Sending.Records[first..]), Exposing(receiver.Written));
        }
    }

    /// <summary>What a pipe has given is gone: what the cut record is cannot be looked up, and is not claimed.</summary>
    [Fact]
    public void A_record_of_a_pipe_that_was_cut_short_is_told_by_its_number()
    {
        var receiver = new FakeReceiver { IsSlow = true };
        Ends(receiver, 'R', 2, () => receiver.Leave('F', 3, 6, isCut: true));
        Assert.Equal(
            $"chip: error PC2022: the receiver found a block damaged; records 1 to 6 are written, record 7 (of a kind not known here) was cut short and has a part of its dose, nothing after it is written; {BeamOff}; look at the sample, then send from record 7 to repeat it, or from record 8 to skip it",
            Sending.Error(receiver, source: new PiecewiseStream(Sending.Stream, 999)));
    }

    [Fact]
    public void A_record_beyond_the_end_is_refused()
    {
        var receiver = new FakeReceiver();
        Assert.Equal(
            "chip: error PC2023: the stream has 400 records, so it cannot be sent from record 402",
            Sending.Error(receiver, Sending.Usual with { FirstRecord = Sending.Total + 1 }));
        Assert.Equal(0, receiver.Arrived['S']);
    }

    [Fact]
    public void A_log_that_cannot_be_written_stops_the_receiver_first()
    {
        var receiver = new FakeReceiver();
        string error = Assert.Throws<CompileException>(() => Sending.Run(
            receiver, observer: _ => throw new CompileException(CommandCodes.CannotWrite, "no space", new SourcePlace("chip.log")))).Message;
        Assert.Matches("^chip.log: error PC\\d+: no space; records 1 to \\d+ are written, and nothing after them; the receiver confirms that the beam is off; ", error);
        Assert.Equal(2, receiver.Arrived['S']);
    }

    private static int HeaderLength => Sending.Stream[8] | Sending.Stream[9] << 8;

    private static IEnumerable<DeflectionRecord> Exposing(IEnumerable<DeflectionRecord> records) => records.Where(record => record.Points > 0);

    // Does something when a unit arrives; the unit itself is lost, unless said otherwise.
    private static void Ends(FakeReceiver receiver, char kind, int turn, Action what, bool isLost = true)
    {
        receiver.Arrives = (k, n) =>
        {
            if (k != kind || n != turn)
            {
                return true;
            }

            what();
            return !isLost;
        };
    }

    private static void Drain(FakeReceiver receiver)
    {
        while (receiver.TryTake(out _, TimeSpan.Zero, CancellationToken.None))
        {
        }
    }

    /// <summary>A link may hold bytes back until it is told that no more follow for now.</summary>
    [Fact]
    public void What_is_sent_is_flushed()
    {
        var receiver = new FakeReceiver();
        using var stream = new MemoryStream(Sending.Stream);
        SendReport report = Sender.RunOn(stream, "chip", new HoldingLink(receiver), receiver, Sending.Usual, receiver.Time, _ => { }, CancellationToken.None);
        Assert.Equal(Sending.Total, report.RecordsWritten);
        Assert.Equal(Sending.Records, receiver.Written);
    }

    private sealed class HoldingLink(Stream target) : MemoryStream
    {
        public override void Flush()
        {
            target.Write(ToArray());
            SetLength(0);
        }
    }
}
