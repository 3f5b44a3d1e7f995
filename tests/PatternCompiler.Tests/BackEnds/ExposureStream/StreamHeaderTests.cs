using System.Buffers.Binary;
using System.Security.Cryptography;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds.ExposureStream;

/// <summary>
/// Headers that a faulty or later writer could make: one field is changed, and digest and checksum are made right again, so
/// that nothing but the field itself can give it away.
/// </summary>
public sealed class StreamHeaderTests
{
    private const int LengthOffset = 8;
    private const int NameLengthOffset = 84;
    private const int NameOffset = 85;
    private const int OriginBytes = 33;
    private static readonly DeflectionRecord[] Pattern = [DeflectionRecord.Jump(1, 2, 3), DeflectionRecord.Dot(1, 2, 4)];

    [Theory]
    [InlineData(12, 1, "words of 1 bytes do not carry codes of 12 bits")]
    [InlineData(12, 5, "words of 5 bytes do not carry codes of 12 bits")]
    [InlineData(13, 2, "the profile is 2, known are 0 to 1")]
    [InlineData(13, 3, "the profile is 3, known are 0 to 1")]
    [InlineData(15, 3, "the largest payload of a block is 768 bytes, allowed are 1 to 512")]
    [InlineData(15, 0, "the largest payload of a block is 0 bytes, allowed are 1 to 512")]
    [InlineData(16, 7, "the converter has 7 bits, allowed is 8 to 24")]
    [InlineData(16, 25, "the converter has 25 bits, allowed is 8 to 24")]
    [InlineData(16, 17, "words of 2 bytes do not carry codes of 17 bits")]
    [InlineData(17, 3, "the coding is 3, known are 0 to 2")]
    [InlineData(18, 2, "the upper end of the range is 2, known are 0 to 1")]
    [InlineData(19, 2, "the order of the axes is 2, known are 0 to 1")]
    [InlineData(85, 0xFF, "the machine's name is not UTF-8")]
    [InlineData(104, 4, "the level of the blank line is 4, known are 0 to 3")]
    [InlineData(104, 255, "the level of the blank line is 255, known are 0 to 3")]
    public void An_unknown_choice_is_refused(int offset, byte value, string expected) =>
        Assert.Equal(Refusal(expected), Fault(header => header[offset] = value));

    [Theory]
    [InlineData(20, 0.0, "the clock is not above 0 Hz")]
    [InlineData(20, -1e6, "the clock is not above 0 Hz")]
    [InlineData(20, double.NaN, "a number is not finite")]
    [InlineData(20, double.PositiveInfinity, "a number is not finite")]
    [InlineData(28, 10.0, "the lower end of the voltage range is not below the upper end")]
    [InlineData(28, double.NegativeInfinity, "a number is not finite")]
    [InlineData(36, -10.0, "the lower end of the voltage range is not below the upper end")]
    [InlineData(36, double.NaN, "a number is not finite")]
    [InlineData(44, double.NaN, "a number is not finite")]
    [InlineData(52, double.PositiveInfinity, "a number is not finite")]
    public void A_machine_that_contradicts_itself_is_refused(int offset, double value, string expected) =>
        Assert.Equal(Refusal(expected), Fault(header => BinaryPrimitives.WriteDoubleLittleEndian(header.AsSpan(offset), value)));

    [Theory]
    [InlineData(60, 65536L)]
    [InlineData(60, -1L)]
    [InlineData(68, 0L)]
    [InlineData(68, -1L)]
    public void Dwell_limits_that_exclude_each_other_are_refused(int offset, long value) => Assert.Equal(
        Refusal("the shortest dwell is longer than the longest"),
        Fault(header => BinaryPrimitives.WriteInt64LittleEndian(header.AsSpan(offset), value)));

    [Theory]
    [InlineData(20, "the header has 141 bytes, with version 1.1 and a machine's name of 20 it needs 142")]
    [InlineData(255, "the header has 141 bytes, with version 1.1 and a machine's name of 255 it needs 377")]
    public void A_name_beyond_the_header_is_refused(byte length, string expected) =>
        Assert.Equal(Refusal(expected), Fault(header => header[NameLengthOffset] = length, fixDigest: false));

    [Fact]
    public void A_header_of_version_1_0_with_a_name_beyond_it_is_refused() => Assert.Equal(
        Refusal("the header has 141 bytes, with version 1.0 and a machine's name of 53 it needs 142"),
        Fault(
            header =>
            {
                header[7] = 0;
                header[NameLengthOffset] = 53;
            },
            fixDigest: false));

    [Fact]
    public void Version_1_1_without_its_fields_is_refused() => Assert.Equal(
        Refusal("the header has 108 bytes, with version 1.1 and a machine's name of 19 it needs 141"),
        Assert.Throws<CompileException>(() => Read(Stream(header => header, cut: OriginBytes))).Message);

    [Theory]
    [InlineData(76)]
    [InlineData(83)]
    public void A_digest_of_another_machine_is_refused(int offset) => Assert.Equal(
        Refusal("the machine's digest does not belong to its description"), Fault(header => header[offset] ^= 1, fixDigest: false));

    [Theory]
    [InlineData(0)]
    [InlineData(2)]
    [InlineData(255)]
    public void Another_major_version_is_refused(byte version) => Assert.Equal(
        $"x: error PC2002: this is version {version} of the stream, known is version 1; emit it again with this version of the program, or update the program",
        Fault(header => header[6] = version));

    [Fact]
    public void Fields_of_later_minor_versions_are_passed_over()
    {
        byte[] later = Stream(header =>
        {
            header[7] = 9;
            return [.. header, 0xDE, 0xAD, 0xBE, 0xEF];
        });
        CollectingSink<RecordsHeader, DeflectionRecord> read = Read(later);
        Assert.Equal(Stated, read.Header);
        Assert.Equal(Pattern, read.Items);
    }

    // Between name and checksum, version 1.0 has bytes to skip and nothing else, whatever stands there.
    [Fact]
    public void Version_1_0_states_neither_level_nor_digests()
    {
        RecordsHeader plain = Stated with { BlankLevel = BlankLevel.NotStated, MadeFor = default };
        Assert.Equal(plain, Read(Stream(Old, cut: OriginBytes)).Header);
        Assert.Equal(plain, Read(Stream(Old)).Header);
        static byte[] Old(byte[] header)
        {
            header[7] = 0;
            return header;
        }
    }

    [Theory]
    [InlineData(BlankLevel.NotStated)]
    [InlineData(BlankLevel.High)]
    [InlineData(BlankLevel.Low)]
    [InlineData(BlankLevel.NoBlanker)]
    public void Level_and_digests_stand_behind_the_name_and_nothing_else_depends_on_them(BlankLevel level)
    {
        byte[] bytes = Written(Stated with { BlankLevel = level });
        Assert.Equal((byte)level, bytes[104]);
        byte[] digests = [.. SHA256.HashData("machine"u8)[..16], .. SHA256.HashData("process"u8)[..16]];
        Assert.Equal(digests, bytes[105..137]);
        byte[] other = Written(Stated);
        bytes[104] = other[104];
        other.AsSpan(137, 4).CopyTo(bytes.AsSpan(137));
        Assert.Equal(other, bytes);
    }

    private static RecordsHeader Stated => Exposures.Header(12) with
    {
        MadeFor = new MadeFor(SettingsDigest.Of("machine"u8), SettingsDigest.Of("process"u8)),
    };

    private static string Refusal(string fault) => $"x: error PC2003: {fault}; emit the stream again; it was damaged on its way";

    private static string Fault(Action<byte[]> change, bool fixDigest = true) => Assert.Throws<CompileException>(() => Read(Stream(
        header =>
        {
            change(header);
            return header;
        },
        fixDigest: fixDigest))).Message;

    // A stream whose header is changed, with length, digest and checksum to match.
    private static byte[] Stream(Func<byte[], byte[]> change, bool fixDigest = true, int cut = 0)
    {
        byte[] stream = Written(Stated);
        int length = BinaryPrimitives.ReadUInt16LittleEndian(stream.AsSpan(LengthOffset));
        byte[] header = change(stream[..(length - 4 - cut)]);
        BinaryPrimitives.WriteUInt16LittleEndian(header.AsSpan(LengthOffset), (ushort)(header.Length + 4));
        BinaryPrimitives.WriteUInt16LittleEndian(header.AsSpan(LengthOffset + 2), (ushort)~(header.Length + 4));
        if (fixDigest)
        {
            byte[] machine = [.. header[16..76], .. header.AsSpan(NameOffset, header[NameLengthOffset])];
            SHA256.HashData(machine).AsSpan(0, 8).CopyTo(header.AsSpan(76));
        }

        return [.. BitwiseCrc.After(header), .. stream[length..]];
    }

    private static byte[] Written(RecordsHeader header) => Documents.Written<RecordsHeader, DeflectionRecord>(
        s => new ExposureStreamWriter(s, new ExposureStreamOptions(StreamProfile.Lines, 2)), header, Pattern);

    private static CollectingSink<RecordsHeader, DeflectionRecord> Read(byte[] bytes)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        using var stream = new PiecewiseStream(bytes, 11);
        ExposureStreamReader.Read(stream, "x", sink, new DiagnosticSink(), default);
        return sink;
    }
}
