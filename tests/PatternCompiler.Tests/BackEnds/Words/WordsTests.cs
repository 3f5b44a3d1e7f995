using CsCheck;
using PatternCompiler.BackEnds.Points;
using PatternCompiler.BackEnds.Words;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds.Words;

public sealed class WordsTests
{
    private static readonly DeflectionRecord[] Pattern =
    [
        DeflectionRecord.Jump(0x8001, 0x7FFF, 300),
        DeflectionRecord.Dot(0x8001, 0x7FFF, 5),
        DeflectionRecord.Wait(2),
    ];

    private static Gen<WordLayout> Layouts =>
        from bits in Gen.Int[1, 4].Select(bytes => 8 * bytes)
        from dwell in Gen.Int[0, 2]
        from order in Gen.Int[0, 5]
        from bigEndian in Gen.Bool
        from reversed in Gen.Bool
        select Layout(bits, dwell, order, bigEndian, reversed);

    [Theory]
    [InlineData(DacCoding.OffsetBinary, false, false, "01 80 FF 7F 2C 01 FF FF  01 80 FF 7F 05 00 00 00  01 80 FF 7F 02 00 FF FF")]
    [InlineData(DacCoding.OffsetBinary, true, false, "80 01 7F FF 01 2C FF FF  80 01 7F FF 00 05 00 00  80 01 7F FF 00 02 FF FF")]
    [InlineData(DacCoding.OffsetBinary, true, true, "80 01 FF FE 34 80 FF FF  80 01 FF FE A0 00 00 00  80 01 FF FE 40 00 FF FF")]
    [InlineData(DacCoding.TwosComplement, true, false, "00 01 FF FF 01 2C FF FF  00 01 FF FF 00 05 00 00  00 01 FF FF 00 02 FF FF")]
    public void Bytes_follow_the_layout(DacCoding coding, bool bigEndian, bool reversed, string expected)
    {
        RecordsHeader header = Exposures.Header(16, coding);
        WordLayout layout = WordLayout.For(header.Dac) with { IsBigEndian = bigEndian, IsLeastSignificantBitFirst = reversed };
        Assert.Equal(expected.Replace(" ", ""), Convert.ToHexString(Written(header, Pattern, layout)));
    }

    [Fact]
    public void Fields_are_packed_from_the_top_bit_down()
    {
        var layout = new WordLayout(
            16, [new(WordContent.Blank, 1), new(WordContent.Zero, 3), new(WordContent.X, 12), new(WordContent.Y, 12), new(WordContent.Dwell, 4)], true, false);
        Assert.Equal("8ABC1235" + "0ABC1234" + "8ABC1231", Convert.ToHexString(
            Written(Exposures.Header(12), [DeflectionRecord.Jump(0xABC, 0x123, 5), DeflectionRecord.Dot(0xABC, 0x123, 4)], layout)));
    }

    [Fact]
    public void A_scan_enable_line_is_up_for_all_points_and_goes_down_in_one_more()
    {
        var layout = new WordLayout(
            16, [new(WordContent.X, 16), new(WordContent.Y, 16), new(WordContent.Blank, 1), new(WordContent.Scan, 1), new(WordContent.Dwell, 14)], true, false);
        RecordsHeader header = Exposures.Header(16);
        byte[] bytes = Written(header, Pattern, layout);
        Assert.Equal(
            "80017FFF" + "C12C" + "80017FFF" + "4005" + "80017FFF" + "C002" + "80017FFF" + "8001",
            Convert.ToHexString(bytes));
        var read = new CollectingSink<RecordsHeader, DeflectionRecord>();
        WordsReader.Read(new MemoryStream(bytes), "-", header, layout, read, CancellationToken.None);
        Assert.Equal(307, read.Items.Sum(r => r.Ticks));
        Assert.Equal(5, read.Items.Where(r => r.Points > 0).Sum(r => r.Ticks));
        Assert.Empty(Written(header, [], layout));
    }

    // Without a blank field every point reads as exposed, but not the one that ends the scan.
    [Fact]
    public void The_end_of_a_scan_is_no_point_even_where_no_field_blanks_the_beam()
    {
        var layout = new WordLayout(16, [new(WordContent.X, 16), new(WordContent.Y, 16), new(WordContent.Scan, 1), new(WordContent.Dwell, 15)], true, false);
        RecordsHeader header = Exposures.Header(16);
        Assert.Equal(307, Read(Written(header, Pattern, layout), header, layout).Items.Sum(r => r.Ticks));
    }

    // Controllers hold the last word: it must not leave the beam on.
    [Theory]
    [InlineData(BlankLevel.High)]
    [InlineData(BlankLevel.Low)]
    public void The_last_word_turns_the_beam_off(BlankLevel level)
    {
        var layout = new WordLayout(16, [new(WordContent.X, 16), new(WordContent.Y, 16), new(WordContent.Blank, 1), new(WordContent.Dwell, 15)], true, false);
        RecordsHeader header = Exposures.Header(16) with { BlankLevel = level };
        DeflectionRecord[] items = [DeflectionRecord.Jump(1, 2, 3), DeflectionRecord.Dot(1, 2, 5)];
        string bytes = Convert.ToHexString(Written(header, items, layout));
        Assert.Equal(level == BlankLevel.High ? "000100028003" + "000100020005" + "000100028001" : "000100020003" + "000100028005" + "000100020001", bytes);
        Assert.Equal(items, Read(Convert.FromHexString(bytes), header, layout).Items);
        DeflectionRecord[] longer = [.. items, DeflectionRecord.Jump(1, 2, 1), DeflectionRecord.Dot(1, 2, 5), DeflectionRecord.Jump(1, 2, 2)];
        Assert.Equal(longer, Read(Written(header, longer, layout), header, layout).Items);
    }

    [Fact]
    public void A_narrower_signed_code_is_extended_through_its_field() => Assert.Equal(
        "00F8" + "FFFF" + "0100" + "0000" + "00F8" + "FFFF" + "0100" + "FFFF",
        Convert.ToHexString(Written(
            Exposures.Header(12, DacCoding.TwosComplement),
            [DeflectionRecord.Dot(0, 0x7FF, 1)],
            WordLayout.For(Exposures.Header(12).Dac))));

    // 16 bits of 10 coarse and 6 fine ones; in two's complement each converter has its own sign.
    [Theory]
    [InlineData(DacCoding.OffsetBinary, "02AF" + "001C" + "0000" + "003F")]
    [InlineData(DacCoding.TwosComplement, "00AF" + "FFFC" + "FE00" + "001F")]
    public void Composite_converters_get_the_upper_and_the_lower_bits(DacCoding coding, string expected)
    {
        var layout = new WordLayout(
            16, [new(WordContent.XCoarse, 16), new(WordContent.XFine, 16), new(WordContent.YCoarse, 16), new(WordContent.YFine, 16)], true, false)
        {
            FineBits = 6,
        };
        RecordsHeader header = Exposures.Header(16, coding);
        byte[] bytes = Written(header, [DeflectionRecord.Dot((0x2AF << 6) | 0x1C, 0x3F, 1)], layout);
        Assert.Equal(expected, Convert.ToHexString(bytes));
        Assert.Equal([DeflectionRecord.Dot((0x2AF << 6) | 0x1C, 0x3F, 1)], Read(bytes, header, layout).Items);
    }

    [Fact]
    public void A_dwell_beyond_its_field_is_split_with_the_beam_unchanged()
    {
        RecordsHeader header = Exposures.Header(16);
        WordLayout layout = WordLayout.For(header.Dac);
        byte[] bytes = Written(header, [DeflectionRecord.Dot(1, 2, 65535 * 2 + 7)], layout);
        Assert.Equal("01000200FFFF0000" + "01000200FFFF0000" + "0100020007000000" + "010002000100FFFF", Convert.ToHexString(bytes));
        Assert.Equal([DeflectionRecord.Dot(1, 2, 65535 * 2 + 7)], Read(bytes, header, layout).Items);
    }

    [Fact]
    public void Decoding_what_was_emitted_gives_the_same_exposure() => Gen.Select(Exposures.Any(2000, 50), Layouts).Sample(
        (exposure, layout) =>
        {
            var (header, items) = exposure;
            if (layout.FaultOf(header.Dac) is not null)
            {
                layout = WordLayout.For(header.Dac) with { IsBigEndian = layout.IsBigEndian };
            }

            CollectingSink<RecordsHeader, DeflectionRecord> sink = Read(Written(header, items, layout), header, layout);
            Assert.Equal(Exposures.Unclosed(header, items), Exposures.Unclosed(header, sink.Items));
            Assert.True(sink.HasEnded);
        },
        iter: Iterations.Usually(200));

    [Fact]
    public void Words_that_stop_within_a_point_or_are_not_of_the_machine_are_refused()
    {
        RecordsHeader header = Exposures.Header(12);
        WordLayout layout = WordLayout.For(header.Dac);
        byte[] bytes = Written(header, [DeflectionRecord.Dot(1, 2, 3), DeflectionRecord.Dot(1, 2, 3)], layout);
        Assert.Equal(
            "w (byte 13): error PC2006: the words stop within a point of 8 bytes; emit them again, or name the machine file with which they were made",
            Assert.Throws<CompileException>(() => Read(bytes[..13], header, layout)).Message);
        bytes[9] = 0x80;
        Assert.Equal(
            "w (byte 8): error PC2013: x is no code of the converter; name the machine file with which the words were made",
            Assert.Throws<CompileException>(() => Read(bytes, header, layout)).Message);
    }

    // Fields: blank 2, scan 2, zero 4, x 12, y 12, dwell 8.
    [Theory]
    [InlineData("00", "exposed, whatever the scan line says", null)]
    [InlineData("10", "", "the scan field is neither all 0 nor all 1")]
    [InlineData("20", "", "the scan field is neither all 0 nor all 1")]
    [InlineData("40", "", "the blank field is neither all 0 nor all 1")]
    [InlineData("80", "", "the blank field is neither all 0 nor all 1")]
    [InlineData("31", "", "bits that should be zero are not")]
    [InlineData("38", "", "bits that should be zero are not")]
    public void Every_field_is_read_as_strictly_as_it_is_written(string first, string why, string? fault)
    {
        var layout = new WordLayout(
            8,
            [new(WordContent.Blank, 2), new(WordContent.Scan, 2), new(WordContent.Zero, 4), new(WordContent.X, 8), new(WordContent.Y, 8), new(WordContent.Dwell, 8)],
            true,
            false);
        RecordsHeader header = Exposures.Header(8);
        byte[] bytes = Convert.FromHexString(first + "010205" + "F0010201");
        if (fault is null)
        {
            Assert.Equal([DeflectionRecord.Dot(1, 2, 5)], Read(bytes, header, layout).Items);
            Assert.NotEmpty(why);
            return;
        }

        Assert.Equal(
            $"w (byte 0): error PC2013: {fault}; name the machine file with which the words were made",
            Assert.Throws<CompileException>(() => Read(bytes, header, layout)).Message);
    }

    [Fact]
    public void A_code_beyond_the_converter_is_refused_in_both_axes()
    {
        RecordsHeader header = Exposures.Header(12);
        WordLayout layout = WordLayout.For(header.Dac);
        Assert.Equal(
            [DeflectionRecord.Dot(0x0FFF, 0x0FFF, 1)],
            Read(Convert.FromHexString("FF0FFF0F01000000" + "FF0FFF0F0100FFFF"), header, layout).Items);
        Assert.Contains("x is no code of the converter", Refusal("0010FF0F01000000"), StringComparison.Ordinal);
        Assert.Contains("y is no code of the converter", Refusal("FF0F001001000000"), StringComparison.Ordinal);

        string Refusal(string hex) => Assert.Throws<CompileException>(() => Read(Convert.FromHexString(hex), header, layout)).Message;
    }

    // Only a point of the longest dwell can be the first part of a longer one.
    [Fact]
    public void Points_are_joined_where_a_dwell_was_split_and_nowhere_else()
    {
        var layout = new WordLayout(16, [new(WordContent.X, 16), new(WordContent.Y, 16), new(WordContent.Blank, 12), new(WordContent.Dwell, 4)], true, false);
        RecordsHeader header = Exposures.Header(16);
        AssertKept(DeflectionRecord.Dot(1, 2, 14), DeflectionRecord.Dot(1, 2, 3), DeflectionRecord.Dot(1, 2, 5), DeflectionRecord.Jump(3, 2, 1));
        AssertKept(DeflectionRecord.Dot(1, 2, 15), DeflectionRecord.Dot(1, 3, 15), DeflectionRecord.Dot(2, 3, 4), DeflectionRecord.Jump(3, 2, 1));
        AssertKept(DeflectionRecord.Dot(1, 2, 34), DeflectionRecord.Jump(1, 2, 50), DeflectionRecord.Dot(1, 2, 31), DeflectionRecord.Jump(3, 2, 1));

        void AssertKept(params DeflectionRecord[] items) => Assert.Equal(items, Read(Written(header, items, layout), header, layout).Items);
    }

    [Fact]
    public void A_move_without_settling_is_written_where_there_is_a_dwell_to_say_nothing()
    {
        RecordsHeader header = Exposures.Header(16);
        DeflectionRecord[] items = [DeflectionRecord.Jump(5, 6, 0), DeflectionRecord.Dot(5, 6, 3)];
        Assert.Equal("050006000000FFFF" + "0500060003000000" + "050006000100FFFF", Convert.ToHexString(Written(header, items, WordLayout.For(header.Dac))));
        var untimed = new WordLayout(16, [new(WordContent.X, 16), new(WordContent.Y, 16)], true, false);
        Assert.Equal("00050006" + "00050006" + "00050006", Convert.ToHexString(Written(header, items, untimed)));
    }

    // Without a dwell field what lasts no time is not written, so it cannot be what turns the beam off.
    [Theory]
    [InlineData(RecordKind.Wait)]
    [InlineData(RecordKind.Jump)]
    internal void A_last_record_without_time_does_not_stand_for_the_word_that_turns_the_beam_off(RecordKind kind)
    {
        RecordsHeader header = Exposures.Header(8);
        var untimed = new WordLayout(8, [new(WordContent.X, 8), new(WordContent.Y, 8), new(WordContent.Blank, 8)], true, false);
        DeflectionRecord end = kind == RecordKind.Wait ? DeflectionRecord.Wait(0) : DeflectionRecord.Jump(7, 8, 0);
        Assert.Equal("050600" + "0506FF", Convert.ToHexString(Written(header, [DeflectionRecord.Dot(5, 6, 1), end], untimed)));
    }

    [Theory]
    [InlineData(16, "x 16, y 8, zero 8, dwell 16, blank 16", "the y field has 8 bits, the converter 12")]
    [InlineData(16, "x 16, y 16, dwell 24, blank 8", "the dwell field of 24 bits crosses the end of a word of 16 bits")]
    [InlineData(16, "x 16, y 12", "the fields leave 4 bits of the last word open; add a zero field")]
    [InlineData(16, "x 16, blank 16", "there are 0 y fields")]
    [InlineData(16, "x 16, y 16, x 16", "there are 2 x fields")]
    [InlineData(12, "x 12, y 12", "words have 12 bits, allowed are 8, 16, 24 and 32")]
    public void A_layout_that_does_not_fit_says_why(int wordBits, string fields, string expected)
    {
        var layout = new WordLayout(
            wordBits,
            [.. fields.Split(", ").Select(field => field.Split(' ')).Select(parts =>
                new WordField(Enum.Parse<WordContent>(parts[0], ignoreCase: true), Convert.ToInt32(parts[1])))],
            false,
            false);
        Assert.Equal(expected, layout.FaultOf(Exposures.Header(12).Dac));
        Assert.Equal(
            $"error PC2011: {expected}; correct the word layout in the machine file",
            Assert.Throws<CompileException>(() => Written(Exposures.Header(12), [], layout)).Message);
        Assert.Equal(
            Assert.Throws<CompileException>(() => Written(Exposures.Header(12), [], layout)).Message,
            Assert.Throws<CompileException>(() => Read(new byte[64], Exposures.Header(12), layout)).Message);
    }

    private static WordLayout Layout(int bits, int dwell, int order, bool bigEndian, bool reversed)
    {
        WordField x = new(WordContent.X, bits);
        WordField y = new(WordContent.Y, bits);
        WordField blank = new(WordContent.Blank, bits);
        WordField[] time = dwell == 0 ? [] : dwell == 1 ? [new(WordContent.Dwell, bits)] : [new(WordContent.Zero, bits - 7), new(WordContent.Dwell, 7)];
        WordField[] fields = order switch
        {
            0 => [x, y, .. time, blank],
            1 => [y, x, blank, .. time],
            2 => [.. time, blank, x, y],
            3 => [blank, x, .. time, y],
            4 => [x, blank, y, .. time],
            _ => [x, y, .. time, new(WordContent.Blank, 1), new(WordContent.Zero, bits - 1)],
        };
        return new WordLayout(bits, [.. fields], bigEndian, reversed);
    }

    /// <summary>More than any buffer holds: 30,000 points, no two neighbours alike, read back as they were.</summary>
    [Fact]
    public void A_long_exposure_comes_back_whole()
    {
        RecordsHeader header = Exposures.Header(12);
        DeflectionRecord[] items = [DeflectionRecord.Jump(7, 9, 50), .. Enumerable.Range(0, 30_000).Select(i => DeflectionRecord.Dot(i * 7 % 4096, i * 11 % 4096, 1 + i % 13))];
        Assert.Equal(Exposures.Unclosed(header, items), Exposures.Unclosed(header, Read(Written(header, items, WordLayout.For(header.Dac)), header, WordLayout.For(header.Dac)).Items));
    }

    private static byte[] Written(RecordsHeader header, DeflectionRecord[] items, WordLayout layout) =>
        Documents.Written<RecordsHeader, DeflectionRecord>(s => new WordsWriter(s, layout), header, items);

    private static CollectingSink<RecordsHeader, DeflectionRecord> Read(byte[] bytes, RecordsHeader header, WordLayout layout)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        using var stream = new PiecewiseStream(bytes, 11);
        WordsReader.Read(stream, "w", header, layout, sink, default);
        return sink;
    }
}
