using CsCheck;
using PatternCompiler.BackEnds.Wave;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds.Wave;

public sealed class WaveTests
{
    private static readonly DeflectionRecord[] Pattern =
    [
        DeflectionRecord.Jump(0, 0xFFF, 2),
        DeflectionRecord.Dot(0x801, 0x7FF, 1),
    ];

    // Chunks: RIFF Multimedia Programming Interface and Data Specifications 1.0 (1991), chapter 3; the extensible form
    // with the identifier of PCM samples is the one of RFC 2361. Both from memory. SoX 14.4.2 of Debian 12 reads these
    // bytes as three channels of 16 bits at 10 MHz with the same samples.
    [Fact]
    public void Bytes_are_those_of_the_format()
    {
        byte[] expected =
        [
            .. "RIFF"u8, 60 + 24, 0, 0, 0, .. "WAVE"u8,
            .. "fmt "u8, 40, 0, 0, 0, 0xFE, 0xFF, 3, 0, 0x80, 0x96, 0x98, 0, 0x00, 0x87, 0x93, 0x03, 6, 0, 16, 0,
            22, 0, 16, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71,
            .. "data"u8, 24, 0, 0, 0,
            0x00, 0x80, 0xF0, 0x7F, 0xFF, 0x7F, 0x00, 0x80, 0xF0, 0x7F, 0xFF, 0x7F, 0x10, 0x00, 0xF0, 0xFF, 0x00, 0x80,
            0x10, 0x00, 0xF0, 0xFF, 0xFF, 0x7F, // the beam goes off
        ];
        Assert.Equal(Convert.ToHexString(expected), Convert.ToHexString(Written(Exposures.Header(12), Pattern)));
    }

    [Fact]
    public void Decoding_what_was_emitted_gives_the_same_exposure() => Exposures.Any(500, 20).Sample(
        exposure =>
        {
            RecordsHeader header = exposure.Header with { ClockHertz = Math.Ceiling(exposure.Header.ClockHertz) };
            CollectingSink<RecordsHeader, DeflectionRecord> sink = Read(Written(header, exposure.Items), header);
            Assert.Equal(Exposures.Unclosed(header, exposure.Items), Exposures.Unclosed(header, sink.Items));
            Assert.True(sink.HasEnded);
        },
        iter: Iterations.Usually(100));

    // What lasts no time has no frame: it can be neither what turns the beam off nor a place where it was on.
    [Fact]
    public void A_last_record_without_time_changes_no_byte()
    {
        RecordsHeader header = Exposures.Header(12);
        string bytes = Convert.ToHexString(Written(header, Pattern));
        foreach (DeflectionRecord end in (DeflectionRecord[])[DeflectionRecord.Wait(0), DeflectionRecord.Jump(7, 8, 0), DeflectionRecord.Dot(7, 8, 0)])
        {
            Assert.Equal(bytes, Convert.ToHexString(Written(header, [.. Pattern, end])));
        }
    }

    [Fact]
    public void Into_a_pipe_the_sizes_stay_unknown_and_the_reader_goes_to_the_end()
    {
        RecordsHeader header = Exposures.Header(12);
        using var pipe = new ForwardStream();
        var writer = new WaveWriter(pipe);
        writer.Begin(header);
        writer.Write(Pattern);
        writer.End();
        byte[] bytes = pipe.ToArray();
        Assert.Equal(uint.MaxValue, BitConverter.ToUInt32(bytes, 64));
        Assert.Equal(Pattern, Read(bytes, header).Items);
    }

    [Fact]
    public void Faults_name_place_and_remedy()
    {
        RecordsHeader header = Exposures.Header(12);
        byte[] bytes = Written(header, Pattern);
        Assert.Equal(
            "s (byte 80): error PC2006: the sound file stops before its end; emit it again; the stage or copy that wrote it did not finish",
            Fault(bytes[..80], header));
        Assert.Equal(
            "s: error PC2013: expected 3 channels of 24 bits at 10000000 Hz, found 3 of 16 bits at 10000000 Hz; name the machine file with which the sound file was made",
            Fault(bytes, Exposures.Header(20)));
        Assert.Equal(
            "s (byte 68): error PC2013: a sample is no code of the converter; name the machine file with which the sound file was made",
            Fault(bytes, Exposures.Header(10)));
        Assert.Equal("s: error PC2001: expected a sound file, found something else; make it with patternc emit", Fault([1, 2, 3], header));
        Assert.Equal(
            "error PC2010: a sound file's sample rate is a whole number of hertz up to 4294967295, and the clock is not; set the machine's clock to the player's sample rate",
            Assert.Throws<CompileException>(() => Written(header with { ClockHertz = 0.5 }, Pattern)).Message);
        Assert.Equal(
            "error PC2010: the exposure has more clock ticks than a sound file of 4 GiB holds frames; set the machine's clock to the player's sample rate, or emit another format",
            Assert.Throws<CompileException>(() => Written(header, [DeflectionRecord.Wait(1L << 30)])).Message);
    }

    // 20 bits: samples of 3 bytes, shifted by 4; codes to both sides of the middle; an odd number of bytes is padded.
    [Fact]
    public void Wide_codes_have_samples_of_three_bytes()
    {
        byte[] bytes = Written(Exposures.Header(20) with { BlankLevel = BlankLevel.Low }, [DeflectionRecord.Jump(0x00001, 0xFFFFE, 1), DeflectionRecord.Dot(0x80001, 0x7FFFD, 1), DeflectionRecord.Wait(1)]);
        Assert.Equal(
            "100080" + "E0FF7F" + "000080" + "100000" + "D0FFFF" + "FFFF7F" + "100000" + "D0FFFF" + "000080" + "00",
            Convert.ToHexString(bytes[68..]));
        Assert.Equal((27u, 27u + 1 + 60), (BitConverter.ToUInt32(bytes, 64), BitConverter.ToUInt32(bytes, 4)));
        Assert.Equal((9, 24, 24, 90_000_000u), (BitConverter.ToInt16(bytes, 32), BitConverter.ToInt16(bytes, 34), BitConverter.ToInt16(bytes, 38), BitConverter.ToUInt32(bytes, 28)));
    }

    /// <summary>Every field of the header is compared with the machine's.</summary>
    [Fact]
    public void A_header_with_any_byte_changed_is_refused()
    {
        RecordsHeader header = Exposures.Header(12);
        byte[] bytes = Written(header, Pattern);
        for (int i = 0; i < 68; i++)
        {
            if (i is >= 4 and < 8 or >= 64)
            {
                continue;
            }

            byte[] changed = [.. bytes];
            changed[i] ^= 1;
            Assert.Throws<CompileException>(() => Read(changed, header));
        }
    }

    // x, y and blank of the frames: the lowest bits of a code of 12 bits in 16 are 0, and the blank sample is one of two.
    [Theory]
    [InlineData(0)]
    [InlineData(2)]
    [InlineData(4)]
    public void Every_sample_is_looked_at(int offset)
    {
        byte[] bytes = Written(Exposures.Header(12), Pattern);
        bytes[68 + 6 + offset] ^= 8;
        Assert.Equal(
            "s (byte 74): error PC2013: a sample is no code of the converter; name the machine file with which the sound file was made",
            Fault(bytes, Exposures.Header(12)));
    }

    [Fact]
    public void A_sound_that_ends_with_the_beam_on_is_refused()
    {
        byte[] bytes = Written(Exposures.Header(12), Pattern)[..^6];
        BitConverter.TryWriteBytes(bytes.AsSpan(64), 18u);
        Assert.Contains("PC20", Fault(bytes, Exposures.Header(12)), StringComparison.Ordinal);
    }

    private static string Fault(byte[] bytes, RecordsHeader header) =>
        Assert.Throws<CompileException>(() => Read(bytes, header)).Message;

    private static byte[] Written(RecordsHeader header, DeflectionRecord[] items) =>
        Documents.Written<RecordsHeader, DeflectionRecord>(s => new WaveWriter(s), header, items);

    private static CollectingSink<RecordsHeader, DeflectionRecord> Read(byte[] bytes, RecordsHeader header)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        using var stream = new PiecewiseStream(bytes, 11);
        WaveReader.Read(stream, "s", header, sink, default);
        return sink;
    }

    private sealed class ForwardStream : MemoryStream
    {
        public override bool CanSeek => false;
    }
}
