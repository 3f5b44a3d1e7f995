using CsCheck;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Send;
using PatternCompiler.Tests.BackEnds;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.Send;

/// <summary>What is sent of a stream that is gone on with: never an exposing record before a jump that settles long enough.</summary>
public sealed class RemainderSinkTests
{
    private static readonly DeflectionRecord[] Stream =
    [
        DeflectionRecord.Jump(1, 100, 70), DeflectionRecord.Dot(1, 100, 9), DeflectionRecord.Jump(2, 200, 30), DeflectionRecord.Dot(2, 200, 9),
        DeflectionRecord.Marker(7), DeflectionRecord.Wait(5), DeflectionRecord.Line(3, 300, 9, 301, 4, 80), DeflectionRecord.Dot(4, 400, 9),
    ];

    [Fact]
    public void A_dot_is_reached_by_a_jump_with_the_longest_settling_before_it() => Assert.Equal(
        [DeflectionRecord.Jump(2, 200, 70), .. Stream[3..]], Rest(3, out _));

    [Fact]
    public void A_line_is_reached_by_a_jump_to_its_start() => Assert.Equal(
        [DeflectionRecord.Jump(3, 300, 70), .. Stream[6..]], Rest(6, out _));

    [Fact]
    public void Markers_and_waits_do_not_stand_for_the_jump() => Assert.Equal(
        [.. Stream[4..6], DeflectionRecord.Jump(3, 300, 70), .. Stream[6..]], Rest(4, out _));

    [Fact]
    public void The_streams_own_jump_settles_as_long_as_the_longest_before() => Assert.Equal(
        [DeflectionRecord.Jump(2, 200, 70), .. Stream[3..]], Rest(2, out _));

    [Fact]
    public void Own_records_are_told_from_the_jump()
    {
        Rest(4, out RemainderSink sink);
        Assert.Equal(2, sink.FirstAdded);
        Assert.Equal([0, 1, 2, 2, 3, 4], Enumerable.Range(0, 6).Select(n => sink.OwnAmong(n)));
        Rest(2, out sink);
        Assert.Null(sink.FirstAdded);
        Assert.Equal(5, sink.OwnAmong(5));
    }

    private static readonly DeflectionRecord[] Triggered =
    [
        DeflectionRecord.Marker(0), DeflectionRecord.Jump(1, 100, 70), DeflectionRecord.Trigger(900), DeflectionRecord.Wait(11), DeflectionRecord.Dot(1, 100, 9),
        DeflectionRecord.Dot(2, 100, 8), DeflectionRecord.Jump(5, 100, 30), DeflectionRecord.Marker(1), DeflectionRecord.Line(5, 100, 9, 100, 5, 20),
        DeflectionRecord.Jump(7, 100, 30), DeflectionRecord.Trigger(800), DeflectionRecord.Dot(7, 100, 6),
    ];

    /// <summary>What was begun after an edge goes on as long after another one.</summary>
    [Theory]
    [InlineData(2, 0, 1, "jump 1 70, trigger 900")]
    [InlineData(3, 0, 2, "jump 1 70, trigger 900")]
    [InlineData(4, 0, 3, "jump 1 70, trigger 900, wait 11")]
    [InlineData(5, 0, 3, "jump 2 70, trigger 900, wait 20")]
    [InlineData(6, 2, 2, "jump 5 70, marker 1, trigger 900, wait 58")]
    [InlineData(7, 1, 3, "marker 1, jump 5 70, trigger 900, wait 58")]
    [InlineData(8, 0, 3, "jump 5 70, trigger 900, wait 58")]
    [InlineData(9, 0, 0, "jump 7 70, trigger 800")]
    [InlineData(10, 0, 1, "jump 7 70, trigger 800")]
    [InlineData(11, 0, 2, "jump 7 70, trigger 800")]
    public void The_phase_to_the_last_trigger_is_kept(int first, int at, int added, string start)
    {
        foreach (int piece in new[] { 1, 3, 20 })
        {
            DeflectionRecord[] rest = Rest(Triggered, first, piece, out RemainderSink sink);
            Assert.Equal(start, string.Join(", ", rest.TakeWhile(r => r.Points == 0).Where(r => r != DeflectionRecord.Wait(11) || first >= 4).Select(Text)));
            Assert.Equal((added == 0 ? null : (long?)at, added), (sink.FirstAdded, sink.Added));
            Assert.Equal(Triggered.Length - first, sink.OwnAmong(rest.Length));
            Assert.Equal(Triggered[first..].Where(r => r.Kind != RecordKind.Jump), rest.Where((r, i) => !sink.IsAdded(i) && r.Kind != RecordKind.Jump));
        }

        static string Text(DeflectionRecord record) =>
            $"{record.Kind.ToString().ToLowerInvariant()}{(record.Kind == RecordKind.Jump ? $" {record.X}" : "")} {record.Ticks}";
    }

    [Fact]
    public void The_beam_never_comes_on_before_the_deflection_stands() => Gen.Select(
        Documents.Record(1000, 5000, 9).Array[1, 40], Gen.Int[0, 40], Gen.Int[1, 7]).Sample((records, first, piece) =>
    {
        first = Math.Min(first, records.Length);
        DeflectionRecord[] rest = Rest(records, first, piece, out RemainderSink sink);
        long longest = records[..first].Where(r => r.Kind == RecordKind.Jump).Select(r => r.Ticks).DefaultIfEmpty(0).Max();
        DeflectionRecord[] start = [.. rest.TakeWhile(r => r.Points == 0)];
        if (start.Length < rest.Length)
        {
            DeflectionRecord jump = start.First(r => r.Kind == RecordKind.Jump);
            Assert.True(jump.Ticks >= longest);
            DeflectionRecord last = start.Last(r => r.Kind == RecordKind.Jump);
            DeflectionRecord exposing = rest[start.Length];
            if (sink.FirstAdded is not null)
            {
                Assert.Equal((exposing.X, exposing.Y), (last.X, last.Y));
            }
        }

        IEnumerable<DeflectionRecord> own = rest.Where((_, i) => !sink.IsAdded(i));
        Assert.Equal(records[first..].Where(r => r.Kind != RecordKind.Jump), own.Where(r => r.Kind != RecordKind.Jump));
        Assert.Equal(records.Length - first, sink.OwnAmong(rest.Length));
    }, iter: Iterations.Usually(100));

    private static DeflectionRecord[] Rest(int first, out RemainderSink sink) => Rest(Stream, first, 3, out sink);

    private static DeflectionRecord[] Rest(DeflectionRecord[] records, int first, int piece, out RemainderSink sink)
    {
        var collected = new CollectingSink<RecordsHeader, DeflectionRecord>();
        sink = new RemainderSink(collected, first);
        sink.Begin(Exposures.Header(16));
        foreach (DeflectionRecord[] part in records.Chunk(piece))
        {
            sink.Write(part);
        }

        sink.End();
        Assert.True(collected.HasEnded);
        return [.. collected.Items];
    }
}
