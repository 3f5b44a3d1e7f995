using System.Buffers.Binary;
using System.Globalization;
using System.Text;
using PatternCompiler.BackEnds.Motion;
using PatternCompiler.BackEnds.Npy;
using PatternCompiler.BackEnds.Points;
using PatternCompiler.BackEnds.ValueChange;
using PatternCompiler.BackEnds.Volts;
using PatternCompiler.BackEnds.Wave;
using PatternCompiler.BackEnds.Words;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds;

/// <summary>One key of the machine file decides the level of the blank line in every format that there is.</summary>
public sealed class BlankLevelTests
{
    // Ends with the beam on, so that what ends the outputs is seen too. Ticks: 2 off, 1 on, 3 off, 2 on.
    private static readonly DeflectionRecord[] Pattern =
    [
        DeflectionRecord.Jump(0x0800, 0x07FF, 2),
        DeflectionRecord.Dot(0x0800, 0x07FF, 1),
        DeflectionRecord.Jump(0x0900, 0x0700, 3),
        DeflectionRecord.Line(0x0900, 0x0700, 0x0901, 0x0700, 2, 2),
    ];

    // Beam on, point by point as words, tables and arrays have them, and tick by tick as sound files do; the last one ends it.
    private static readonly bool[] BeamByPoint = [false, true, false, true, true, false];
    private static readonly bool[] BeamByTick = [false, false, true, false, false, false, true, true, false];

    public static TheoryData<OutputFormat> Formats => [.. Enum.GetValues<OutputFormat>()];

    [Fact]
    public void Every_format_can_be_asked_for_and_is_tested() =>
        Assert.Equal(Enum.GetValues<OutputFormat>(), OutputFormats.Choice.Entries.Select(entry => entry.Value).Order());

    [Theory]
    [MemberData(nameof(Formats))]
    public void The_key_flips_the_line_and_nothing_else(OutputFormat format)
    {
        (string others, bool[] line) high = Seen(format, Written(format, "high"));
        (string others, bool[] line) low = Seen(format, Written(format, "low"));
        Assert.Equal(high.others, low.others);
        Assert.Equal(high.line.Select(level => !level), low.line);
        bool[] beam = high.line.Length == BeamByTick.Length ? BeamByTick : BeamByPoint;
        bool[] expected = IsStatedOnce(format) ? [true] : [.. beam.Select(isOn => !isOn)];
        Assert.Equal(expected, high.line);
    }

    // What a machine without a blanker has behind the field is nobody's line; it is written as one that blanks high.
    [Theory]
    [MemberData(nameof(Formats))]
    public void Without_a_blanker_the_line_is_written_as_one_that_blanks_high(OutputFormat format)
    {
        byte[] none = Written(format, "none");
        if (!IsStatedOnce(format))
        {
            Assert.Equal(
                Convert.ToHexString(Written(format, "high")),
                Convert.ToHexString(format == OutputFormat.Dump ? WithoutComment(none) : none));
        }
        else
        {
            Assert.Equal(Seen(format, Written(format, "high")).Others, Seen(format, none).Others);
        }
    }

    [Theory]
    [InlineData("high")]
    [InlineData("low")]
    [InlineData("none")]
    public void What_was_written_for_a_machine_is_read_for_it(string active)
    {
        RecordsHeader header = Header(active);
        foreach (OutputFormat format in Enum.GetValues<OutputFormat>().Where(format => Reads(format)))
        {
            CollectingSink<RecordsHeader, DeflectionRecord> read = Read(format, Written(format, active), header);
            Assert.Equal(Exposures.Timeline(header, Pattern), Exposures.Timeline(header, read.Items));
        }
    }

    [Theory]
    [InlineData(OutputFormat.Words, "x: error PC2042: the last word ends with the beam on; name the machine file with which it was made, or emit it again if it was cut short")]
    [InlineData(OutputFormat.Wave, "x: error PC2042: the sound file ends with the beam on; name the machine file with which it was made, or emit it again if it was cut short")]
    [InlineData(OutputFormat.Array, "x (byte 192): error PC2041: row 0 is for a blank line that is {0} with the beam off, and the machine has a blank line that is {1} with the beam off; name the machine file with which it was made")]
    [InlineData(OutputFormat.Volts, "x:2: error PC2041: the row is for a blank line that is {0} with the beam off, and the machine has a blank line that is {1} with the beam off; name the machine file with which it was made")]
    [InlineData(OutputFormat.Dump, "x:4: error PC2041: the dump is for a blank line that is {0} with the beam off, and the machine has a blank line that is {1} with the beam off; name the machine file with which it was made")]
    [InlineData(OutputFormat.Motion, "x:4: error PC2041: the program is for a blank line that is {0} with the beam off, and the machine has a blank line that is {1} with the beam off; name the machine file with which it was made")]
    public void What_was_written_for_the_other_level_is_refused(OutputFormat format, string expected)
    {
        foreach ((string made, string named) in new[] { ("high", "low"), ("low", "high") })
        {
            string message = Assert.Throws<CompileException>(() => Read(format, Written(format, made), Header(named))).Message;
            Assert.Equal(string.Format(CultureInfo.InvariantCulture, expected, made, named), message);
        }
    }

    [Theory]
    [InlineData("high")]
    [InlineData("low")]
    public void An_array_that_was_cut_and_ends_with_the_beam_on_is_refused(string active)
    {
        byte[] bytes = Written(OutputFormat.Array, active)[..^NpyFormat.RowBytes];
        NpyFormat.Header(BeamByPoint.Length - 1).CopyTo(bytes, 0);
        Assert.StartsWith(
            "x: error PC2042: the array ends with the beam on;",
            Assert.Throws<CompileException>(() => Read(OutputFormat.Array, bytes, Header(active))).Message,
            StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Formats))]
    public void A_level_that_nobody_states_is_never_guessed(OutputFormat format)
    {
        RecordsHeader header = Header("high") with { BlankLevel = BlankLevel.NotStated };
        if (format is OutputFormat.Stream or OutputFormat.Records or OutputFormat.Motion)
        {
            Assert.Equal(Seen(format, Written(format, "high")).Others, Seen(format, Written(format, header)).Others);
            return;
        }

        Assert.Equal(
            "error PC2040: the records do not say which level of the blank line turns the beam off, and this output holds the line; name the machine file with --machine, or make the records again with patternc scale",
            Assert.Throws<CompileException>(() => Written(format, header)).Message);
    }

    [Fact]
    public void Words_without_a_blank_field_need_no_level()
    {
        var layout = new WordLayout(16, [new(WordContent.X, 16), new(WordContent.Y, 16)], false, false);
        RecordsHeader header = Header("high") with { BlankLevel = BlankLevel.NotStated };
        Assert.NotEmpty(Documents.Written<RecordsHeader, DeflectionRecord>(s => new WordsWriter(s, layout), header, Pattern));
    }

    [Fact]
    public void A_machine_fills_in_its_level_and_refuses_records_for_another()
    {
        var filled = new CollectingSink<RecordsHeader, DeflectionRecord>();
        new MachineLevel("x", BlankLevel.Low, filled).Begin(Header("high") with { BlankLevel = BlankLevel.NotStated });
        Assert.Equal(BlankLevel.Low, filled.Header!.BlankLevel);
        Assert.Equal(
            "x: error PC2041: the records are for a blank line that is high with the beam off, and the machine has no blanker; name the machine file with which it was made",
            Assert.Throws<CompileException>(() => new MachineLevel("x", BlankLevel.NoBlanker, filled).Begin(Header("high"))).Message);
    }

    private static byte[] WithoutComment(byte[] dump) =>
        Encoding.ASCII.GetBytes(Encoding.ASCII.GetString(dump).Replace("; this machine has no blanker", "", StringComparison.Ordinal));

    // The header as the scaling pass takes it from a machine file.
    private static RecordsHeader Header(string active)
    {
        Machine machine = MachineOf(active);
        return Exposures.Header(16) with { BlankLevel = StageOptions.Scale(DefaultFiles.Job, machine).BlankLevel };
    }

    private static Machine MachineOf(string active)
    {
        string text = DefaultFiles.MachineText;
        int start = text.IndexOf("\nblanker:\n", StringComparison.Ordinal);
        int end = text.IndexOf("\nbeam:\n", StringComparison.Ordinal);
        return MachineFile.Parse(
            active == "none" ? text[..start] + "\nblanker: none\n" + text[end..] : text.Replace("active: high", $"active: {active}", StringComparison.Ordinal),
            null);
    }

    private static bool IsStatedOnce(OutputFormat format) => format is OutputFormat.Stream or OutputFormat.Records or OutputFormat.Motion;

    private static bool Reads(OutputFormat format) => format is not (OutputFormat.Stream or OutputFormat.Records);

    private static byte[] Written(OutputFormat format, string active) => Written(format, Header(active));

    private static byte[] Written(OutputFormat format, RecordsHeader header) =>
        Documents.Written<RecordsHeader, DeflectionRecord>(s => OutputFormats.Create(format, s, MachineOf("high")), header, Pattern);

    private static CollectingSink<RecordsHeader, DeflectionRecord> Read(OutputFormat format, byte[] bytes, RecordsHeader header)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        using var stream = new PiecewiseStream(bytes, 11);
        switch (format)
        {
            case OutputFormat.Words:
                WordsReader.Read(stream, "x", header, null, sink, default);
                break;
            case OutputFormat.Wave:
                WaveReader.Read(stream, "x", header, sink, default);
                break;
            case OutputFormat.Array:
                NpyReader.Read(stream, "x", header, sink, default);
                break;
            case OutputFormat.Volts:
                VoltsReader.Read(stream, "x", header, sink, default);
                break;
            case OutputFormat.Dump:
                DumpReader.Read(stream, "x", header, sink, default);
                break;
            case OutputFormat.Motion:
                MotionReader.Read(stream, "x", header, sink, default);
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(format));
        }

        return sink;
    }

    // The levels of the line in an output, high as true, and all the rest of it; by the form's bytes, not by its reader.
    private static (string Others, bool[] Line) Seen(OutputFormat format, byte[] bytes) => format switch
    {
        OutputFormat.Words => SeenInRows(bytes, 0, 8, 6, [0, 0], [0xFF, 0xFF]),
        OutputFormat.Wave => SeenInRows(bytes, 68, 6, 4, [0x00, 0x80], [0xFF, 0x7F]),
        OutputFormat.Array => SeenInRows(bytes, 192, 18, 17, [0], [1]),
        OutputFormat.Volts => SeenInTable(Encoding.ASCII.GetString(bytes)),
        OutputFormat.Motion => SeenInLine(Encoding.ASCII.GetString(bytes), "(MSG, ", "must then be high)"),
        OutputFormat.Dump => SeenInDump(Encoding.ASCII.GetString(bytes)),
        OutputFormat.Records => SeenInLine(Encoding.ASCII.GetString(bytes), "blank ", "blank high"),
        OutputFormat.Stream => SeenInHeader(bytes),
        _ => throw new ArgumentOutOfRangeException(nameof(format), format, "Say here where this format has the blank line."),
    };

    private static (string Others, bool[] Line) SeenInRows(byte[] bytes, int start, int row, int offset, byte[] low, byte[] high)
    {
        var line = new List<bool>();
        byte[] rest = [.. bytes];
        for (int at = start + offset; at < bytes.Length; at += row)
        {
            byte[] field = bytes[at..(at + high.Length)];
            Assert.True(field.SequenceEqual(low) || field.SequenceEqual(high));
            line.Add(field.SequenceEqual(high));
            rest.AsSpan(at, high.Length).Clear();
        }

        return (Convert.ToHexString(rest), [.. line]);
    }

    private static (string Others, bool[] Line) SeenInTable(string text)
    {
        string[] rows = text.TrimEnd('\n').Split('\n');
        Assert.EndsWith(",blank", rows[0], StringComparison.Ordinal);
        return (string.Join('\n', rows.Select(row => row[..row.LastIndexOf(',')])), [.. rows.Skip(1).Select(row => row.EndsWith(",1", StringComparison.Ordinal))]);
    }

    // The line, tick by tick; the comment that repeats the level counts as no other.
    private static (string Others, bool[] Line) SeenInDump(string text)
    {
        var line = new List<bool>();
        bool isHigh = false;
        foreach (string row in text.Split('\n'))
        {
            if (row is ['#', .. string time])
            {
                // The scale is a tick: 100 ns at 10 MHz.
                line.AddRange(Enumerable.Repeat(isHigh, int.Parse(time, CultureInfo.InvariantCulture) - line.Count));
            }

            isHigh = row is [_, 'B'] ? row[0] == '1' : isHigh;
        }

        line.Add(isHigh);
        return (string.Join('\n', text.Split('\n').Where(row => row is not [_, 'B'] && !row.StartsWith("  blank: ", StringComparison.Ordinal))), [.. line]);
    }

    private static (string Others, bool[] Line) SeenInLine(string text, string start, string high)
    {
        string[] lines = text.Split('\n');
        return (
            string.Join('\n', lines.Where(line => !line.StartsWith(start, StringComparison.Ordinal))),
            [.. lines.Where(line => line.StartsWith(start, StringComparison.Ordinal)).Select(line => line.EndsWith(high, StringComparison.Ordinal))]);
    }

    private static (string Others, bool[] Line) SeenInHeader(byte[] bytes)
    {
        int length = BinaryPrimitives.ReadUInt16LittleEndian(bytes.AsSpan(8));
        int at = 85 + bytes[84];
        byte[] rest = [.. bytes];
        rest[at] = 0;
        rest.AsSpan(length - 4, 4).Clear();
        return (Convert.ToHexString(rest), [bytes[at] == 1]);
    }
}
