using System.Text;
using CsCheck;
using PatternCompiler.BackEnds.ValueChange;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Architecture;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds.ValueChange;

public sealed class DumpTests
{
    private static readonly DeflectionRecord[] Pattern =
    [
        DeflectionRecord.Jump(0, 4095, 3),
        DeflectionRecord.Marker(5),
        DeflectionRecord.Dot(2049, 4095, 4),
        DeflectionRecord.Wait(2),
    ];

    private static RecordsHeader At(double hertz) => Exposures.Header(12) with { ClockHertz = hertz };

    [Fact]
    public void The_page_shows_what_is_written()
    {
        string page = File.ReadAllText(Path.Combine(SourceTree.Root, "src", "PatternCompiler", "BackEnds", "ValueChange", "README.md"));
        string shown = page[page.IndexOf("$version PatternCompiler exposure 1 $end\n$comment", StringComparison.Ordinal)..];
        Assert.Equal(shown[..shown.IndexOf("```", StringComparison.Ordinal)], Text(At(8e6), Pattern));
    }

    // The clock as a fraction: a tick is a whole number of the coarsest step that divides it.
    [Theory]
    [InlineData(1, "1 s", 1)]
    [InlineData(0.5, "1 s", 2)]
    [InlineData(10, "100 ms", 1)]
    [InlineData(48_000, "1 ps", 0)]
    [InlineData(250_000, "1 us", 4)]
    [InlineData(1e6, "1 us", 1)]
    [InlineData(8e6, "1 ns", 125)]
    [InlineData(1e7, "100 ns", 1)]
    [InlineData(2.5e7, "10 ns", 4)]
    [InlineData(6.4e7, "1 ps", 15625)]
    [InlineData(1.28e8, "1 ps", 0)]
    [InlineData(3e6, "1 ps", 0)]
    [InlineData(1e12, "1 ps", 1)]
    [InlineData(1e-308, "1 ps", 0)]
    [InlineData(5e-324, "1 ps", 0)]
    public void The_scale_is_the_coarsest_that_divides_a_tick(double hertz, string scale, long steps)
    {
        var time = new DumpTime(hertz);
        Assert.Equal(scale, time.Scale);
        Assert.Equal(steps, time.StepsPerTick);
    }

    // 1/3 µs: 333333.33 ps, 666666.67 ps, 1 µs; roundings do not add up.
    [Theory]
    [InlineData(3e6, 1, 333_333)]
    [InlineData(3e6, 2, 666_667)]
    [InlineData(3e6, 3, 1_000_000)]
    [InlineData(3e6, 3_000_000_000_001, 1_000_000_000_000_333_333)]
    [InlineData(1.28e8, 1, 7813)]
    [InlineData(1.28e8, 3, 23_438)]
    public void Times_are_rounded_each_by_itself(double hertz, long tick, long picoseconds)
    {
        var time = new DumpTime(hertz);
        Assert.True(time.TryTime(tick, out long found));
        Assert.Equal(picoseconds, found);
        Assert.True(time.TryTick(found, out long back));
        Assert.Equal(tick, back);
        Assert.False(time.TryTick(found + 1, out _));
    }

    [Fact]
    public void What_does_not_fit_in_63_bits_is_refused()
    {
        Assert.False(new DumpTime(3e6).TryTime(long.MaxValue, out _));
        Assert.False(new DumpTime(8e6).TryTime(long.MaxValue / 100, out _));
        Assert.Equal(
            "error PC2010: the exposure lasts longer than the times of a value change dump reach, 2^63 of its steps",
            Assert.Throws<CompileException>(() => Text(At(8e6), [DeflectionRecord.Jump(1, 1, long.MaxValue / 100)])).Message);
        Assert.Equal(
            "error PC2010: the exposure lasts longer than the times of a value change dump reach, 2^63 of its steps",
            Assert.Throws<CompileException>(() => Text(At(1e7), [DeflectionRecord.Jump(1, 1, long.MaxValue), DeflectionRecord.Wait(1)])).Message);
    }

    [Fact]
    public void Reading_what_was_written_gives_the_same_exposure() => Exposures.Any(1_000_000, 50).Sample(
        exposure =>
        {
            var (header, items) = exposure;
            CollectingSink<RecordsHeader, DeflectionRecord> sink = Read(Encoding.ASCII.GetBytes(Text(header, items)), header);
            Assert.Equal(Exposures.Unclosed(header, items), Exposures.Unclosed(header, sink.Items));
            Assert.True(sink.HasEnded);
        },
        iter: 200);

    [Fact]
    public void Figures_come_back_with_what_they_expose()
    {
        CollectingSink<RecordsHeader, DeflectionRecord> sink = Read(Encoding.ASCII.GetBytes(Text(At(8e6), Pattern)), At(8e6));
        Assert.Equal([Pattern[0], Pattern[1], Pattern[2], DeflectionRecord.Jump(2049, 4095, 2)], sink.Items);
    }

    [Theory]
    [InlineData(new int[0])]
    [InlineData(new[] { 0 })]
    [InlineData(new[] { 0, 1 })]
    [InlineData(new[] { 0, 1, 2 })]
    [InlineData(new[] { 0, 1, 2, 3 })]
    public void The_beam_is_off_at_the_start_and_at_the_end(int[] which)
    {
        string text = Text(At(1e7), [.. which.Select(i => Pattern[i])]);
        string first = text[text.IndexOf("#0", StringComparison.Ordinal)..text.IndexOf("$end", text.IndexOf("#0", StringComparison.Ordinal), StringComparison.Ordinal)];
        Assert.Contains("\n1B\n0E\n", first, StringComparison.Ordinal);
        Assert.EndsWith("0E", text.Split('\n').Last(row => row.EndsWith('E')), StringComparison.Ordinal);
        Assert.EndsWith("1B", text.Split('\n').Last(row => row.EndsWith('B')), StringComparison.Ordinal);
        Assert.EndsWith("0S", text.Split('\n').Last(row => row.EndsWith('S')), StringComparison.Ordinal);
    }

    // A tick for a jump of no time would be a time twice.
    [Fact]
    public void What_lasts_no_time_is_not_seen() => Assert.Equal(
        Text(At(1e7), [DeflectionRecord.Jump(1, 2, 3), DeflectionRecord.Dot(4, 5, 6)]),
        Text(At(1e7), [DeflectionRecord.Dot(9, 9, 0), DeflectionRecord.Jump(1, 2, 3), DeflectionRecord.Jump(7, 7, 0), DeflectionRecord.Dot(4, 5, 6)]));

    [Theory]
    [InlineData("$version Icarus Verilog $end\n", "v:1: error PC2001: expected $version PatternCompiler exposure 1 $end; make the dump with patternc emit")]
    [InlineData("$version PatternCompiler exposure 1 $end\n$comment\n", "v:2: error PC2006: the dump stops within its header; emit it again")]
    [InlineData("HEADER", "v:17: error PC2006: the dump stops before its last time, which lowers scan-enable with the beam off; emit it again")]
    [InlineData("HEADER#1\n", "v:18: error PC2012: the dump does not begin at time 0; emit it again")]
    [InlineData("HEADER#x\n", "v:18: error PC2012: expected a time, found \"#x\"; emit the dump again")]
    [InlineData("HEADER#0\nb1 X\n#1\n", "v:20: error PC2012: not every line has a value at time 0; emit the dump again")]
    [InlineData("HEADER#0\nb1 Q\n", "v:19: error PC2012: expected a time, a level or a code, found \"b1 Q\"; emit the dump again")]
    [InlineData("HEADER#0\nb1111111111111 X\n", "v:19: error PC2012: expected a time, a level or a code, found \"b1111111111111 X\"; emit the dump again")]
    [InlineData("HEADER#0\nb1 X\nb1 Y\n1B\n0E\n1S\n0W\n#5\n#5\n", "v:26: error PC2012: the time does not go on; emit the dump again")]
    [InlineData("HEADER#0\nb1 X\nb1 Y\n1B\n0E\n1S\n0W\n#5\n", "v:25: error PC2006: the dump stops before its last time, which lowers scan-enable with the beam off; emit it again")]
    [InlineData("HEADER#0\nb1 X\nb1 Y\n0B\n0E\n1S\n0W\n#5\n", "v:25: error PC2041: the value is for a blank line that is low with the beam off, and the machine has a blank line that is high with the beam off; name the machine file with which it was made")]
    public void Faults_name_place_and_remedy(string text, string expected)
    {
        RecordsHeader header = At(1e7);
        byte[] bytes = Encoding.UTF8.GetBytes(text.Replace("HEADER", DumpFormat.Header(header, new DumpTime(1e7)), StringComparison.Ordinal));
        Assert.Equal(expected, Assert.Throws<CompileException>(() => Read(bytes, header)).Message);
    }

    /// <summary>A reader that took a line for low, or a code for 0, until its first value would place the beam by guess.</summary>
    [Theory]
    [InlineData("b1 X")]
    [InlineData("b1 Y")]
    [InlineData("1B")]
    [InlineData("0E")]
    [InlineData("1S")]
    public void Every_line_has_a_value_at_the_start(string missing)
    {
        string[] all = ["b1 X", "b1 Y", "1B", "0E", "1S", "0W"];
        string text = DumpFormat.Header(At(1e7), new DumpTime(1e7)) + "#0\n" + string.Concat(all.Where(row => row != missing).Select(row => row + "\n")) + "#5\n";
        Assert.Equal(
            "v:24: error PC2012: not every line has a value at time 0; emit the dump again",
            Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes(text), At(1e7))).Message);
    }

    [Fact]
    public void A_dump_of_another_machine_is_refused_with_the_line_that_differs()
    {
        byte[] bytes = Encoding.ASCII.GetBytes(Text(At(8e6), Pattern));
        Assert.Equal(
            "v:5: error PC2013: expected \"clock 10000000 Hz; a tick is 1 x 100 ns\", found \"clock 8000000 Hz; a tick is 125 x 1 ns\"; name the machine file with which the dump was made",
            Assert.Throws<CompileException>(() => Read(bytes, At(1e7))).Message);
        Assert.Equal(
            "v:4: error PC2041: the dump is for a blank line that is high with the beam off, and the machine has no blanker; name the machine file with which it was made",
            Assert.Throws<CompileException>(() => Read(bytes, At(8e6) with { BlankLevel = BlankLevel.NoBlanker })).Message);
    }

    [Fact]
    public void A_time_between_two_ticks_is_refused()
    {
        string text = Text(At(8e6), Pattern).Replace("#375", "#376", StringComparison.Ordinal);
        Assert.Equal(
            "v:28: error PC2013: the time is no whole number of ticks; name the machine file with which the dump was made",
            Assert.Throws<CompileException>(() => Read(Encoding.ASCII.GetBytes(text), At(8e6))).Message);
    }

    [Fact]
    public void Every_cut_is_noticed()
    {
        byte[] bytes = Encoding.ASCII.GetBytes(Text(At(8e6), Pattern));
        int last = Encoding.ASCII.GetString(bytes).LastIndexOf("0S", StringComparison.Ordinal);
        for (int length = 0; length <= last; length++)
        {
            Assert.Throws<CompileException>(() => Read(bytes[..length], At(8e6)));
        }
    }

    private static string Text(RecordsHeader header, DeflectionRecord[] items) =>
        Encoding.ASCII.GetString(Documents.Written<RecordsHeader, DeflectionRecord>(s => new DumpWriter(s), header, items));

    private static CollectingSink<RecordsHeader, DeflectionRecord> Read(byte[] bytes, RecordsHeader header)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        using var stream = new PiecewiseStream(bytes, 11);
        DumpReader.Read(stream, "v", header, sink, default);
        return sink;
    }
}
