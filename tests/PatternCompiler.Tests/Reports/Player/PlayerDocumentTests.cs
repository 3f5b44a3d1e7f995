using System.Text.Json;
using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Report;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Reports.Player;
using PatternCompiler.Tests.Prediction.Estimate;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Reports.Player;

/// <summary>What a page plays is what was written: read back by a decoder of the tests' own.</summary>
public sealed class PlayerDocumentTests
{
    private static readonly RecordsHeader Header = new("lab", new Dac(16, -5, 5, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e7, 1, 1_000_000, 1.5, -1.5, AxesAreSwapped: false);

    private static readonly Gen<DeflectionRecord> Records =
        from kind in Gen.Int[0, 5]
        from x in Gen.Int[0, 65535]
        from y in Gen.Int[0, 65535]
        from endX in Gen.Int[0, 65535]
        from endY in Gen.Int[0, 65535]
        from points in Gen.Int[1, int.MaxValue]
        from ticks in Gen.OneOf(Gen.Long[0, 50], Gen.Long[0, 1L << 45])
        select (RecordKind)kind switch
        {
            RecordKind.Jump => DeflectionRecord.Jump(x, y, ticks),
            RecordKind.Dot => DeflectionRecord.Dot(x, y, ticks),
            RecordKind.Line => DeflectionRecord.Line(x, y, endX, endY, points, ticks),
            RecordKind.Wait => DeflectionRecord.Wait(ticks),
            RecordKind.Marker => DeflectionRecord.Marker(ticks),
            _ => DeflectionRecord.Trigger(ticks),
        };

    [Fact]
    public void Bytes_come_back_from_both_codings() => Gen.OneOf(
        Gen.Byte.Array[0, 2000],
        Gen.Byte[0, 3].Array[0, 3000],
        Gen.Select(Gen.Byte.Array[1, 40], Gen.Int[1, 100], (unit, times) => Enumerable.Repeat(unit, times).SelectMany(part => part).ToArray()))
        .Sample(bytes =>
        {
            ByteColumn repeats = RepeatCoding.Encode(bytes);
            Assert.Equal(bytes, PlayerReader.Repeats(repeats.Bytes.ToArray(), bytes.Length));
            Assert.Equal(bytes, PlayerReader.Likely(RangeCoding.Encode(bytes).Bytes.ToArray(), bytes.Length));
        }, iter: Iterations.Usually(100));

    [Fact]
    public void Records_come_back_and_what_is_beyond_the_limit_is_told() => Gen.Select(Records.Array[1, 300], Gen.Int[1, 400]).Sample((records, most) =>
    {
        PlayerRecords kept = Kept(records, most);
        var document = new PlayerDocument("a </script> & <b>", kept);
        var read = new PlayerReader(document.ToFacts(), document.ToData());
        Assert.Equal(records.Take(most).Select(PlayerReader.Plain), read.Records());
        Assert.Equal(records.Length > most ? 1 : 0, document.LeftOut.Length);
        Assert.DoesNotContain('<', document.ToFacts());
    }, iter: Iterations.Usually(100));

    /// <summary>A page draws the first block before it has read the last: each holds whole records, and the frame of what is shown is told ahead.</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(8191)]
    [InlineData(8192)]
    [InlineData(20_000)]
    public void Blocks_hold_whole_records_and_the_extent_holds_all(int count)
    {
        DeflectionRecord[] records = [.. Enumerable.Range(0, count).Select(i => DeflectionRecord.Line(i, 2 * i, i + 3, 2 * i + 1, 4, 40 + i % 9))];
        var document = new PlayerDocument("a", Kept(records, int.MaxValue));
        Assert.Equal(records.Select(PlayerReader.Plain), new PlayerReader(document.ToFacts(), document.ToData()).Records());
        using JsonDocument facts = JsonDocument.Parse(document.ToFacts());
        int[] kinds = [.. facts.RootElement.GetProperty("blocks").GetProperty("records").EnumerateArray().Select(block => block[0].GetInt32())];
        Assert.Equal(count, kinds.Sum());
        Assert.All(kinds, length => Assert.InRange(length, 1, 8192));
        var plane = new SamplePlane(Header);
        (double X, double Y)[] ends = [plane.PlaceOf(0, 0), plane.PlaceOf(count + 2, 2 * count - 1)];
        Assert.Equal(
            [ends.Min(end => end.X), ends.Min(end => end.Y), ends.Max(end => end.X), ends.Max(end => end.Y)],
            facts.RootElement.GetProperty("extent").EnumerateArray().Select(side => side.GetDouble()));
    }

    /// <summary>Where no drawing is at hand, nothing is said of looking places up in it.</summary>
    [Fact]
    public void Figures_without_a_drawing_have_no_places_and_no_remark()
    {
        var watcher = new PlayerWatcher(new BuildSettings(DefaultFiles.Job, DefaultFiles.Machine, DefaultFiles.Process), 10, 10);
        watcher.See(new FiguresDocument(new FiguresHeader(100, ["pads"]), [Figure.FromDot(0, DoseFactor.One, new(3, -4))]));
        PlayerDocument document = watcher.ToDocument("a", null, []);
        Assert.NotNull(document.Figures);
        Assert.Empty(document.Remarks);
    }

    [Fact]
    public void Repeats_take_little_room()
    {
        // A thousand copies of one figure: the beam's way is the same in each.
        DeflectionRecord[] records = [.. Enumerable.Range(0, 20_000).Select(i => i % 2 == 0 ? DeflectionRecord.Jump(i % 40 * 100, i / 40, 30) : DeflectionRecord.Line(i % 40 * 100, i / 40, i % 40 * 100 + 50, i / 40, 51, 510))];
        Assert.InRange(new PlayerDocument("a", Kept(records, int.MaxValue)).ToData().Length, 20, 8_000);
    }

    [Fact]
    public void Figures_come_back_with_corners_doses_and_places()
    {
        var figures = new FiguresDocument(new FiguresHeader(100, ["pads", "lines"]),
        [
            Figure.FromTrapezoid(0, DoseFactor.FromValue(1.25), new Trapezoid(0, 10, new GridEdge(new(0, 0), new(4, 10)), new GridEdge(new(20, 0), new(20, 10)))),
            Figure.FromLine(1, DoseFactor.One, new(-5, 7), new(9, -3)),
            Figure.FromDot(1, DoseFactor.One, new(1_000_000, -1_000_000)),
        ]);
        var document = new PlayerDocument("a", Kept([DeflectionRecord.Jump(0, 0, 1)], 10)) { Figures = new PlayerFigures(figures, 100, number => number == 1 ? "" : "a.dxf:7") };
        var read = new PlayerReader(document.ToFacts(), document.ToData());
        Assert.Equal(
            [
                "layer 0 factor 1250000 place 1: 0,0 20,0 4,10 20,10",
                "layer 1 factor 1000000 place 0: -5,7 9,-3",
                "layer 1 factor 1000000 place 1: 1000000,-1000000",
            ],
            read.Figures());
        using JsonDocument facts = JsonDocument.Parse(document.ToFacts());
        Assert.Equal("a.dxf:7", Assert.Single(facts.RootElement.GetProperty("places").EnumerateArray()).GetString());
        Assert.Equal("2 of 3 figures are drawn, from the first on, to keep the page small.", Assert.Single((document with { Figures = new PlayerFigures(figures, 2, _ => "") }).LeftOut));
    }

    [Fact]
    public void Waits_for_the_link_stand_where_the_estimate_has_them()
    {
        // 1000 dots of a tick each over a link of 10 kB/s: the controller, which holds one block, runs dry.
        DeflectionRecord[] records = [DeflectionRecord.Jump(0, 0, 1), .. Enumerable.Range(0, 20_000).Select(i => DeflectionRecord.Dot(i, i, 1))];
        var link = new Link(10_000, 0, InterpolatesLines: true);
        var kept = new PlayerRecords(long.MaxValue, link);
        Push(kept, records);
        LinkEstimate estimate = EstimatorTests.Estimate(DefaultFiles.Machine with { Link = link, Clock = DefaultFiles.Machine.Clock with { Hertz = Header.ClockHertz } }, records, Header).Link;
        Assert.Equal(estimate.Stalls, kept.Pauses.Count);
        Assert.Equal(estimate.StallSeconds, kept.Pauses.Sum(pause => pause.Seconds), 1e-9);
        Assert.Equal(estimate.FirstStall!.Record, kept.Pauses[0].Record);
        Assert.All(kept.Pauses, pause => Assert.True(pause is { Seconds: > 0, Record: > 0 and < 20_001 }));
        Assert.Equal(kept.Pauses.OrderBy(pause => pause.Record), kept.Pauses);
    }

    private static PlayerRecords Kept(DeflectionRecord[] records, int most)
    {
        var kept = new PlayerRecords(most, link: null);
        Push(kept, records);
        return kept;
    }

    private static void Push(IDocumentSink<RecordsHeader, DeflectionRecord> sink, DeflectionRecord[] records)
    {
        sink.Begin(Header);
        sink.Write(records);
        sink.End();
    }
}
