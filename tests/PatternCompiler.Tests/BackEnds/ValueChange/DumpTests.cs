using System.Text;
using CsCheck;
using PatternCompiler.BackEnds.Points;
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
        iter: Iterations.Usually(200));

    [Fact]
    public void Figures_come_back_with_what_they_expose()
    {
        CollectingSink<RecordsHeader, DeflectionRecord> sink = Read(Encoding.ASCII.GetBytes(Text(At(8e6), Pattern)), At(8e6));
        Assert.Equal([Pattern[0], Pattern[1], Pattern[2], DeflectionRecord.Jump(2049, 4095, 2)], sink.Items);
    }

    /// <summary>What follows in the same place with the beam off is one jump, though the line of waits rises between.</summary>
    [Fact]
    public void A_jump_and_its_wait_come_back_as_one()
    {
        DeflectionRecord[] items = [DeflectionRecord.Jump(1, 2, 3), DeflectionRecord.Wait(4), DeflectionRecord.Dot(1, 2, 6)];
        Assert.Equal([DeflectionRecord.Jump(1, 2, 7), items[2]], Read(Encoding.ASCII.GetBytes(Text(At(1e7), items)), At(1e7)).Items);
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

    /// <summary>The longest that 63 bits hold is written, and read back; one tick more is not.</summary>
    [Fact]
    public void The_last_time_that_fits_is_written()
    {
        DeflectionRecord[] longest = [DeflectionRecord.Jump(1, 2, long.MaxValue - 5), DeflectionRecord.Dot(3, 4, 5)];
        string text = Text(At(1e7), longest);
        Assert.Contains("\n#9223372036854775807\n", text, StringComparison.Ordinal);
        Assert.Equal(longest, Read(Encoding.ASCII.GetBytes(text), At(1e7)).Items.Where(record => record.Kind != RecordKind.Marker));
        Assert.Throws<CompileException>(() => Text(At(1e7), [.. longest, DeflectionRecord.Wait(1)]));
    }

    /// <summary>A clock that is faster than picoseconds would have more ticks in a time than 63 bits hold.</summary>
    [Fact]
    public void A_time_of_more_ticks_than_63_bits_is_the_time_of_none()
    {
        Assert.False(new DumpTime(3e15).TryTick(long.MaxValue, out _));
        Assert.True(new DumpTime(1e12).TryTick(long.MaxValue, out long tick));
        Assert.Equal(long.MaxValue, tick);

        // A rate of more than 53 bits: 10 000 ticks of it are a picosecond.
        Assert.True(new DumpTime(1e16).TryTime(30_000, out long picoseconds));
        Assert.Equal(3, picoseconds);
        Assert.True(new DumpTime(1e16).TryTick(7, out tick));
        Assert.Equal(70_000, tick);
    }

    /// <summary>Levels by hand, for either sense of the blank line: what changes stands at its time and nothing else.</summary>
    [Theory]
    [InlineData(BlankLevel.High, "1", "0")]
    [InlineData(BlankLevel.NoBlanker, "1", "0")]
    [InlineData(BlankLevel.Low, "0", "1")]
    public void Every_line_stands_where_it_changes(BlankLevel level, string off, string on)
    {
        RecordsHeader header = At(1e7) with { BlankLevel = level };
        string text = Text(
            header,
            [
                DeflectionRecord.Wait(7), DeflectionRecord.Marker(3), DeflectionRecord.Jump(5, 2048, 2), DeflectionRecord.Line(6, 9, 8, 9, 3, 6), DeflectionRecord.Marker(0),
                DeflectionRecord.Wait(4), DeflectionRecord.Dot(8, 10, 1), DeflectionRecord.Dot(8, 10, 2), DeflectionRecord.Marker(4),
            ]);
        string expected = "#0\n$dumpvars\nb100000000000 X\nb100000000000 Y\n<B\n0E\n1S\n1W\nbx F\n$end\n"
            + "#7\nb101 X\n0W\nb11 F\n"
            + "#9\nb110 X\nb1001 Y\n>B\n1E\n#11\nb111 X\n#13\nb1000 X\n"
            + "#15\n<B\n0E\n1W\nb0 F\n"
            + "#19\nb1010 Y\n>B\n1E\n0W\n"
            + "#22\n<B\n0E\n0S\nb100 F\n";
        Assert.Equal(expected.Replace("<", off, StringComparison.Ordinal).Replace(">", on, StringComparison.Ordinal), text[text.IndexOf("#0\n", StringComparison.Ordinal)..]);
    }

    /// <summary>More points and more text than are held at once: every point is there, at its time, and the beam with it.</summary>
    [Fact]
    public void A_long_line_is_written_whole()
    {
        DeflectionRecord line = DeflectionRecord.Line(3, 4000, 3999, 4, 3997, 8001);
        string[] rows = Text(At(1e7), [DeflectionRecord.Jump(3, 4000, 1), line]).Split('\n');
        List<BeamPoint> timeline = Exposures.Timeline(At(1e7), [DeflectionRecord.Jump(3, 4000, 1), line]);
        var seen = new List<BeamPoint>();
        long start = -1;
        (int x, int y, bool isOn) = (0, 0, false);
        foreach (string row in rows.SkipWhile(row => row != "#0"))
        {
            if (row.StartsWith('#'))
            {
                long time = long.Parse(row[1..], System.Globalization.CultureInfo.InvariantCulture);
                if (start >= 0)
                {
                    seen.Add(new BeamPoint(x, y, time - start, isOn));
                }

                start = time;
            }

            x = row.EndsWith(" X", StringComparison.Ordinal) ? Convert.ToInt32(row[1..^2], 2) : x;
            y = row.EndsWith(" Y", StringComparison.Ordinal) ? Convert.ToInt32(row[1..^2], 2) : y;
            isOn = row.EndsWith('E') ? row == "1E" : isOn;
        }

        Assert.Equal(timeline, seen);
        Assert.Equal(3998, seen.Count);
    }

    /// <summary>The level with the beam off stands in the comment: another machine's is told from it, whichever two they are.</summary>
    [Theory]
    [InlineData(BlankLevel.High, BlankLevel.Low, "the dump is for a blank line that is high with the beam off, and the machine has a blank line that is low with the beam off")]
    [InlineData(BlankLevel.Low, BlankLevel.High, "the dump is for a blank line that is low with the beam off, and the machine has a blank line that is high with the beam off")]
    [InlineData(BlankLevel.NoBlanker, BlankLevel.Low, "the dump is for no blanker, and the machine has a blank line that is low with the beam off")]
    [InlineData(BlankLevel.NoBlanker, BlankLevel.High, "the dump is for no blanker, and the machine has a blank line that is high with the beam off")]
    [InlineData(BlankLevel.Low, BlankLevel.NoBlanker, "the dump is for a blank line that is low with the beam off, and the machine has no blanker")]
    public void A_dump_for_another_blank_line_is_refused(BlankLevel made, BlankLevel read, string message)
    {
        byte[] bytes = Encoding.ASCII.GetBytes(Text(At(8e6) with { BlankLevel = made }, Pattern));
        Diagnostic fault = Assert.Throws<CompileException>(() => Read(bytes, At(8e6) with { BlankLevel = read })).Diagnostic;
        Assert.Equal((message, "name the machine file with which it was made", 4), (fault.Message, fault.Fix, fault.Place.Line));
    }

    /// <summary>A header of this machine, and a value that no machine of its kind makes.</summary>
    [Theory]
    [InlineData(BlankLevel.Low, "1B\n0E", "the value is for a blank line that is high with the beam off, and the machine has a blank line that is low with the beam off")]
    [InlineData(BlankLevel.Low, "0B\n1E", "the value is for a blank line that is high with the beam off, and the machine has a blank line that is low with the beam off")]
    [InlineData(BlankLevel.High, "1B\n1E", "the value is for a blank line that is low with the beam off, and the machine has a blank line that is high with the beam off")]
    [InlineData(BlankLevel.High, "0B\n0E", "the value is for a blank line that is low with the beam off, and the machine has a blank line that is high with the beam off")]
    public void A_level_of_another_blank_line_is_refused(BlankLevel level, string rows, string message)
    {
        RecordsHeader header = At(1e7) with { BlankLevel = level };
        string text = $"{DumpFormat.Header(header, new DumpTime(1e7))}#0\nb1 X\nb1 Y\n{rows}\n1S\n0W\n#5\n";
        Diagnostic fault = Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes(text), header)).Diagnostic;
        Assert.Equal(("v", 25, message), (fault.Place.File, fault.Place.Line, fault.Message));
    }

    private const string Opened = "#0\n$dumpvars\nb1 X\nb10 Y\n1B\n0E\n1S\n0W\nbx F\n$end\n";

    [Theory]
    [InlineData("b X\n", 28, "expected a time, a level or a code, found \"b X\"")]
    [InlineData("b12 X\n", 28, "expected a time, a level or a code, found \"b12 X\"")]
    [InlineData("bx X\n", 28, "expected a time, a level or a code, found \"bx X\"")]
    [InlineData("2B\n", 28, "expected a time, a level or a code, found \"2B\"")]
    [InlineData("1X\n", 28, "expected a time, a level or a code, found \"1X\"")]
    [InlineData("b1000000000000 Y\n", 28, "expected a time, a level or a code, found \"b1000000000000 Y\"")]
    [InlineData("b1000000000000000000000000000000000000000000000000000000000000000 F\n", 28, "expected a time, a level or a code, found \"b1000000000000000000000000000000000000000000000000000000000000000 F\"")]
    [InlineData("#5x\n", 28, "expected a time, found \"#5x\"")]
    [InlineData("#-1\n", 28, "expected a time, found \"#-1\"")]
    [InlineData("#\n", 28, "expected a time, found \"#\"")]
    [InlineData("#0\n", 28, "the time does not go on")]
    [InlineData("#5\nb11 X\n#4\n", 30, "the time does not go on")]
    [InlineData("0S\n#5\n0B\n1E\n", 31, "the dump stops before its last time, which lowers scan-enable with the beam off")]
    [InlineData("#5\n", 28, "the dump stops before its last time, which lowers scan-enable with the beam off")]
    public void What_no_dump_says_is_refused_with_its_line(string rows, int line, string message)
    {
        string text = DumpFormat.Header(At(1e7), new DumpTime(1e7)) + Opened + rows;
        Diagnostic fault = Assert.Throws<CompileException>(() => Read(Encoding.ASCII.GetBytes(text), At(1e7))).Diagnostic;
        Assert.Equal((message, line), (fault.Message, fault.Place.Line));
    }

    /// <summary>The largest code of 12 bits and the largest number of a figure, 63 bits of ones; a figure's number again makes no second marker.</summary>
    [Fact]
    public void The_largest_values_are_read()
    {
        string text = DumpFormat.Header(At(1e7), new DumpTime(1e7)) + Opened
            + $"#5\nb111111111111 X\nb{new string('1', 63)} F\n0B\n1E\n#9\n1B\n0E\nb{new string('1', 63)} F\n#12\n0S\n";
        Assert.Equal(
            [DeflectionRecord.Jump(1, 2, 5), DeflectionRecord.Marker(long.MaxValue), DeflectionRecord.Dot(4095, 2, 4), DeflectionRecord.Jump(4095, 2, 3)],
            Read(Encoding.ASCII.GetBytes(text), At(1e7)).Items);
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
