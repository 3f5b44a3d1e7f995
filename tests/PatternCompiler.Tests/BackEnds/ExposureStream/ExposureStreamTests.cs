using System.Buffers.Binary;
using System.Globalization;
using System.Security.Cryptography;
using CsCheck;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds.ExposureStream;

public sealed class ExposureStreamTests
{
    private static readonly DeflectionRecord[] SmallPattern =
    [
        DeflectionRecord.Marker(1),
        DeflectionRecord.Jump(0x0800, 0x07FF, 0x12345),
        DeflectionRecord.Line(0x0800, 0x07FF, 0x0804, 0x07FF, 5, 23),
        DeflectionRecord.Wait(9),
        DeflectionRecord.Dot(0, 0x0FFF, 77),
    ];

    [Fact]
    public void Bytes_are_those_of_the_specification()
    {
        byte[] machine =
        [
            12, 2, 0, 0, // bits, two's complement, one beyond last code, straight axes
            .. Bits(1e7), .. Bits(-10), .. Bits(10), .. Bits(1.5), .. Bits(-1.5),
            1, 0, 0, 0, 0, 0, 0, 0, 0xFF, 0xFF, 0, 0, 0, 0, 0, 0, // dwell limits
        ];
        byte[] name = "teaching microscope"u8.ToArray();
        byte[] header =
        [
            0x9C, 0x50, 0x43, 0x58, 0x0D, 0x0A, 1, 1, // magic, version
            141, 0, 0x72, 0xFF, // length and its complement
            2, 1, 0x00, 0x02, // bytes a word, profile, largest payload
            .. machine,
            .. SHA256.HashData([.. machine, .. name])[..8],
            19, .. name,
            2, // blanks low
            .. Enumerable.Range(1, 16).Select(i => (byte)i), .. new byte[16], // digests: machine's settings, none of the exposure
        ];
        byte[] records =
        [
            (byte)'R', 5, 54, 0, 0xC9, 0xFF, 0, 0, 0, 0, // type, records, payload and complement, number
            5, 0, 1, 0, 0, 0, // marker 1
            1, 0, 0x00, 0x00, 0xFF, 0x0F, 0x45, 0x23, 0x01, 0x00, // jump to 0 V and one code below, 0x12345 ticks
            3, 0, 0x00, 0x00, 0xFF, 0x0F, 0x04, 0x00, 0xFF, 0x0F, 5, 0, 0, 0, 4, 0, 0, 0, 3, 0, 0, 0, // 5 points, 4 ticks, 3 of 5
            4, 0, 9, 0, 0, 0, // wait
            2, 0, 0x00, 0x08, 0xFF, 0x07, 77, 0, 0, 0, // lowest x, highest y
        ];
        byte[] end =
        [
            (byte)'E', 0, 24, 0, 0xE7, 0xFF, 1, 0, 0, 0,
            5, 0, 0, 0, 0, 0, 0, 0, 6, 0, 0, 0, 0, 0, 0, 0, .. Low(0x12345 + 23 + 9 + 77), 0, 0, 0, 0,
        ];
        RecordsHeader stated = Exposures.Header(12, DacCoding.TwosComplement) with
        {
            BlankLevel = BlankLevel.Low,
            MadeFor = new MadeFor(new SettingsDigest(UInt128.Parse("0102030405060708090A0B0C0D0E0F10", NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture)), default),
        };
        byte[] expected = [.. BitwiseCrc.After(header), .. BitwiseCrc.After(records), .. BitwiseCrc.After(end)];
        Assert.Equal(
            Convert.ToHexString(expected),
            Convert.ToHexString(Written(stated, SmallPattern, new(StreamProfile.Lines, 2))));
    }

    [Fact]
    public void Decoding_what_was_emitted_gives_the_same_records() => Cases.Sample(
        (exposure, wide) =>
        {
            var (header, items) = exposure;
            var options = new ExposureStreamOptions(StreamProfile.Lines, WordBytes(header, wide));
            byte[] bytes = Written(header, items, options);
            CollectingSink<RecordsHeader, DeflectionRecord> sink = Read(bytes, out ExposureStreamOptions found);
            Assert.Equal(header, sink.Header);
            Assert.Equal(items, sink.Items);
            Assert.Equal(options, found);
            Assert.True(sink.HasEnded);
        },
        iter: Iterations.Usually(300));

    [Fact]
    public void Without_lines_the_stream_holds_their_points_as_dots() => Cases.Sample(
        (exposure, wide) =>
        {
            var (header, items) = exposure;
            byte[] bytes = Written(header, items, new(StreamProfile.Points, WordBytes(header, wide)));
            Assert.Equal(Exposures.AsDots(items), Read(bytes, out _).Items);
        },
        iter: Iterations.Usually(300));

    [Fact]
    public void Every_flipped_bit_is_noticed_before_a_wrong_record_comes_out()
    {
        byte[] bytes = Written(Exposures.Header(12), SmallPattern, new(StreamProfile.Lines, 2));
        for (int bit = 0; bit < bytes.Length * 8; bit++)
        {
            byte[] damaged = [.. bytes];
            damaged[bit / 8] ^= (byte)(1 << (bit % 8));
            AssertOnlyTrueRecords(damaged);
        }
    }

    [Fact]
    public void Every_truncation_is_noticed()
    {
        byte[] bytes = Written(Exposures.Header(12), SmallPattern, new(StreamProfile.Lines, 2));
        for (int length = 0; length < bytes.Length; length++)
        {
            AssertOnlyTrueRecords(bytes[..length]);
        }
    }

    [Fact]
    public void Garbage_only_ever_gives_a_diagnostic() => Gen.Select(Gen.Byte.Array[0, 200], Gen.Bool).Sample((garbage, withHeader) =>
    {
        byte[] start = withHeader ? Written(Exposures.Header(12), [], new(StreamProfile.Lines, 2))[..^38] : [];
        Assert.Throws<CompileException>(() => Read([.. start, .. garbage], out _));
    }, iter: Iterations.Usually(100));

    [Fact]
    public void Lost_doubled_and_exchanged_blocks_are_gaps()
    {
        DeflectionRecord[] items = [.. Enumerable.Range(0, 200).Select(i => DeflectionRecord.Dot(i, i, 5))];
        byte[] bytes = Written(Exposures.Header(16), items, new(StreamProfile.Points, 2));
        const int header = 141;
        const int block = 10 + 51 * 10 + 4; // 51 dots fit into 512 bytes
        byte[] first = bytes[header..(header + block)];
        byte[] second = bytes[(header + block)..(header + 2 * block)];
        byte[] start = bytes[..header];
        byte[] rest = bytes[(header + 2 * block)..];
        Assert.Equal(
            "x (byte 141): error PC2005: block 1 comes where block 0 belongs; emit the stream again; blocks were lost or doubled on its way",
            Fault([.. start, .. second, .. rest]));
        Assert.Equal(
            "x (byte 665): error PC2005: block 0 comes where block 1 belongs; emit the stream again; blocks were lost or doubled on its way",
            Fault([.. start, .. first, .. first, .. rest]));
        Assert.Equal(
            "x (byte 141): error PC2005: block 1 comes where block 0 belongs; emit the stream again; blocks were lost or doubled on its way",
            Fault([.. start, .. second, .. first, .. rest]));
    }

    [Fact]
    public void Faults_name_the_byte_and_the_remedy()
    {
        byte[] bytes = Written(Exposures.Header(12), SmallPattern, new(StreamProfile.Lines, 2));
        Assert.Equal("x: error PC2001: expected an exposure stream, found nothing at all; make an exposure stream with patternc emit", Fault([]));
        Assert.Equal("x: error PC2001: expected an exposure stream, found text that starts with \"records \"; make an exposure stream with patternc emit", Fault("records 1\n"u8.ToArray()));
        Assert.Equal("x: error PC2002: this is version 2 of the stream, known is version 1; emit it again with this version of the program, or update the program", Fault(Changed(bytes, 6, 2)));
        Assert.Equal("x: error PC2003: the header's length is damaged; emit the stream again; it was damaged on its way", Fault(Changed(bytes, 8, 1)));
        Assert.Equal("x: error PC2003: the header's checksum does not match; emit the stream again; it was damaged on its way", Fault(Changed(bytes, 16, 13)));
        Assert.Equal("x (byte 141): error PC2004: block 0 starts with the byte 53, which is no type of block; emit the stream again; it was damaged on its way", Fault(Changed(bytes, 141, (byte)'S')));
        Assert.Equal("x (byte 141): error PC2004: the length of block 0 is damaged; emit the stream again; it was damaged on its way", Fault(Changed(bytes, 143, 1)));
        Assert.Equal("x (byte 141): error PC2004: the checksum of block 0 does not match; emit the stream again; it was damaged on its way", Fault(Changed(bytes, 153, 99)));
        Assert.Equal("x (byte 183): error PC2006: the stream stops before its end, at block 0; emit it again; the stage or copy that wrote it did not finish", Fault(bytes[..183]));
        Assert.Equal($"x (byte {bytes.Length}): error PC2009: more bytes follow the end of the stream; give one stream at a time", Fault([.. bytes, 0]));
    }

    [Fact]
    public void Well_framed_nonsense_is_refused()
    {
        byte[] good = Written(Exposures.Header(12), SmallPattern, new(StreamProfile.Lines, 2));
        Assert.Equal("x (byte 151): error PC2007: there is no kind of record 7; emit the stream again; its writer is at fault", Fault(Reframed(good, 151, 7)));
        Assert.Equal("x (byte 157): error PC2007: a code has more bits than the converter; emit the stream again; its writer is at fault", Fault(Reframed(good, 160, 0x10)));
        Assert.Equal("x (byte 167): error PC2007: a line of 5 points gives 5 of them one tick more; emit the stream again; its writer is at fault", Fault(Reframed(good, 185, 5)));
        Assert.Equal("x (byte 141): error PC2007: block 0 holds 5 records and states 4; emit the stream again; its writer is at fault", Fault(Reframed(good, 142, 4)));
        Assert.Contains("which is no type of block", Fault(Reframed(good, 141, 0)), StringComparison.Ordinal);

        byte[] points = Written(Exposures.Header(12), [SmallPattern[1]], new(StreamProfile.Points, 2));
        Assert.Equal("x (byte 151): error PC2007: a line stands in a stream without lines; emit the stream again; its writer is at fault", Fault(Reframed(points, 151, 3)));
    }

    /// <summary>The end states 5 records, 6 points and 0x12345 + 23 + 9 + 77 = 74674 ticks, and each total is looked at.</summary>
    [Theory]
    [InlineData(0, "6 records, 6 points and 74674 ticks")]
    [InlineData(8, "5 records, 7 points and 74674 ticks")]
    [InlineData(16, "5 records, 6 points and 74675 ticks")]
    public void An_end_with_other_totals_is_refused(int field, string stated)
    {
        byte[] good = Written(Exposures.Header(12), SmallPattern, new(StreamProfile.Lines, 2));
        int end = good.Length - 38;
        byte[] changed = Reframed(good, end + 10 + field, (byte)(good[end + 10 + field] + 1), end);
        Assert.Equal($"x (byte {end}): error PC2008: the end states {stated}; read were 5, 6 and 74674; emit the stream again", Fault(changed));
    }

    [Fact]
    public void An_end_of_another_form_is_refused()
    {
        byte[] good = Written(Exposures.Header(12), SmallPattern, new(StreamProfile.Lines, 2));
        int end = good.Length - 38;
        Assert.Equal(
            $"x (byte {end}): error PC2004: the end block states 1 record, none belong there; emit the stream again; it was damaged on its way",
            Fault(Reframed(good, end + 1, 1, end)));
        byte[] shorter = [(byte)'E', 0, 16, 0, 0xEF, 0xFF, .. good.AsSpan(end + 6, 20)];
        Assert.Equal(
            $"x (byte {end}): error PC2004: the end block has 16 bytes, 24 belong there; emit the stream again; it was damaged on its way",
            Fault([.. good[..end], .. BitwiseCrc.After(shorter)]));
    }

    // Words of 3 bytes: two of them have room for more than 32 bits. Bit 32 is in the second byte of the upper word.
    [Theory]
    [InlineData(RecordKind.Jump, 4)]
    [InlineData(RecordKind.Dot, 4)]
    [InlineData(RecordKind.Wait, 2)]
    [InlineData(RecordKind.Marker, 2)]
    [InlineData(RecordKind.Line, 6)]
    [InlineData(RecordKind.Line, 8)]
    [InlineData(RecordKind.Line, 10)]
    internal void A_field_beyond_32_bits_is_refused(RecordKind kind, int upperWord)
    {
        DeflectionRecord record = kind switch
        {
            RecordKind.Jump => DeflectionRecord.Jump(1, 2, 5),
            RecordKind.Dot => DeflectionRecord.Dot(1, 2, 5),
            RecordKind.Wait => DeflectionRecord.Wait(5),
            RecordKind.Marker => DeflectionRecord.Marker(5),
            _ => DeflectionRecord.Line(1, 2, 3, 4, 3, 10),
        };
        byte[] good = Written(Exposures.Header(20), [record], new(StreamProfile.Lines, 3));
        Assert.Equal(
            "x (byte 151): error PC2007: a field of two words exceeds 32 bits; emit the stream again; its writer is at fault",
            Fault(Reframed(good, 151 + 3 * upperWord + 1, 1)));
    }

    // Kind, four codes, points, ticks of each, points with one more.
    [Fact]
    public void A_line_whose_points_would_last_longer_than_32_bits_is_refused()
    {
        DeflectionRecord longest = DeflectionRecord.Line(1, 2, 3, 4, 2, 2L * uint.MaxValue);
        byte[] good = Written(Exposures.Header(12), [longest], new(StreamProfile.Lines, 2));
        Assert.Equal([longest], Read(good, out _).Items);
        Assert.Equal(
            "x (byte 151): error PC2007: a point of a line lasts longer than 32 bits can say; emit the stream again; its writer is at fault",
            Fault(Reframed(good, 151 + 18, 1)));
        byte[] empty = Written(Exposures.Header(12), [DeflectionRecord.Line(1, 2, 3, 4, 2, 8)], new(StreamProfile.Lines, 2));
        Assert.Equal(
            "x (byte 151): error PC2007: a line of 0 points gives 0 of them one tick more; emit the stream again; its writer is at fault",
            Fault(Reframed(empty, 151 + 10, 0)));
    }

    /// <summary>The formula of the records document, point by point, over several blocks and from the middle of one.</summary>
    [Theory]
    [InlineData(0, 3)]
    [InlineData(0, -3)]
    [InlineData(2, 5)]
    [InlineData(-4, 1)]
    [InlineData(7, 0)]
    public void Lines_longer_than_a_block_go_on_where_they_were(int stepX, int stepY)
    {
        foreach (int spare in new[] { 0, 1, 77 })
        {
            const int points = 180;
            int endX = 32_000 + stepX * (points - 1) + (stepX == 0 ? 0 : spare);
            int endY = 31_000 + stepY * (points - 1) + (stepY == 0 ? 0 : spare);
            DeflectionRecord line = DeflectionRecord.Line(32_000, 31_000, endX, endY, points, 1234);
            DeflectionRecord[] items = [DeflectionRecord.Jump(32_000, 31_000, 9), DeflectionRecord.Dot(1, 2, 9), line, DeflectionRecord.Dot(3, 4, 9)];
            DeflectionRecord[] expected =
            [
                items[0], items[1],
                .. Enumerable.Range(0, points).Select(i => DeflectionRecord.Dot(
                    At(32_000, endX, i), At(31_000, endY, i), 1234 * (i + 1) / points - 1234 * i / points)),
                items[3],
            ];
            Assert.Equal(expected, Read(Written(Exposures.Header(16), items, new(StreamProfile.Points, 2)), out _).Items);

            static int At(int start, int end, int i) => start + (int)Math.Floor((2m * i * (end - start) + points - 1) / (2m * (points - 1)));
        }
    }

    public static TheoryData<object> TooLarge { get; } = new()
    {
        DeflectionRecord.Dot(1, 1, 1L << 32),
        DeflectionRecord.Jump(1, 1, 1L << 32),
        DeflectionRecord.Wait(1L << 32),
        DeflectionRecord.Marker(1L << 32),
        DeflectionRecord.Line(1, 1, 2, 2, 2, 2L << 32),
        DeflectionRecord.Line(1, 1, 2, 2, 2, 2L * uint.MaxValue + 1),
    };

    [Theory]
    [MemberData(nameof(TooLarge))]
    public void Values_beyond_32_bits_are_refused_when_writing(object tooLarge)
    {
        var record = (DeflectionRecord)tooLarge;
        foreach (StreamProfile profile in new[] { StreamProfile.Lines, StreamProfile.Points })
        {
            foreach (int wordBytes in new[] { 3, 4 })
            {
                Assert.Equal(
                    "error PC2010: record 2 has the value 4294967296, a stream holds 0 to 4294967295; use a slower clock, or more passes with shorter dwells",
                    Assert.Throws<CompileException>(() => Written(Exposures.Header(20), [DeflectionRecord.Wait(uint.MaxValue), record], new(profile, wordBytes))).Message);
            }
        }
    }

    [Fact]
    public void What_does_not_fit_is_refused_when_writing()
    {
        RecordsHeader header = Exposures.Header(20);
        Assert.Equal(
            "error PC2010: record 1 has the value -1, a stream holds 0 to 4294967295; use a slower clock, or more passes with shorter dwells",
            Refusal(header, DeflectionRecord.Wait(-1), new(StreamProfile.Lines, 3)));
        Assert.Equal(
            "error PC2010: words of 2 bytes do not carry codes of 20 bits; choose wider words",
            Refusal(header, DeflectionRecord.Dot(1, 1, 1), new(StreamProfile.Lines, 2)));
        Assert.Equal(
            "error PC2010: the machine's name takes 300 bytes, a stream holds 255; shorten the name in the machine file",
            Refusal(header with { MachineName = new string('m', 300) }, DeflectionRecord.Dot(1, 1, 1), new(StreamProfile.Lines, 3)));
        static string Refusal(RecordsHeader header, DeflectionRecord record, ExposureStreamOptions options) =>
            Assert.Throws<CompileException>(() => Written(header, [record], options)).Message;
    }

    private static Gen<((RecordsHeader Header, DeflectionRecord[] Items) Exposure, int Wide)> Cases =>
        Gen.Select(Exposures.Any(uint.MaxValue, 100), Gen.Int[0, 2]);

    private static int WordBytes(RecordsHeader header, int wide) => Math.Min(4, Math.Max(2, (header.Dac.Bits + 7) / 8) + wide);

    private static byte[] Written(RecordsHeader header, DeflectionRecord[] items, ExposureStreamOptions options) =>
        Documents.Written<RecordsHeader, DeflectionRecord>(s => new ExposureStreamWriter(s, options), header, items);

    private static CollectingSink<RecordsHeader, DeflectionRecord> Read(byte[] bytes, out ExposureStreamOptions options)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        using var stream = new PiecewiseStream(bytes, 11);
        options = ExposureStreamReader.Read(stream, "x", sink, new DiagnosticSink(), default);
        return sink;
    }

    private static string Fault(byte[] bytes) => Assert.Throws<CompileException>(() => Read(bytes, out _)).Message;

    private static void AssertOnlyTrueRecords(byte[] damaged)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        using var stream = new PiecewiseStream(damaged, 11);
        Assert.Throws<CompileException>(() => ExposureStreamReader.Read(stream, "x", sink, new DiagnosticSink(), default));
        Assert.False(sink.HasEnded);
        Assert.Equal(SmallPattern.Take(sink.Items.Count), sink.Items);
    }

    private static byte[] Changed(byte[] bytes, int index, byte value)
    {
        byte[] changed = [.. bytes];
        changed[index] = value;
        return changed;
    }

    // Changes a byte of a block, the first if no other is named, and makes the checksum right again, as a faulty writer would.
    private static byte[] Reframed(byte[] stream, int index, byte value, int start = 141)
    {
        byte[] changed = Changed(stream, index, value);
        int covered = 10 + BinaryPrimitives.ReadUInt16LittleEndian(changed.AsSpan(start + 2));
        BitwiseCrc.After(changed[start..(start + covered)]).CopyTo(changed, start);
        return changed;
    }

    private static byte[] Bits(double value) => BitConverter.GetBytes(value);

    private static byte[] Low(int value) => BitConverter.GetBytes(value);
}
