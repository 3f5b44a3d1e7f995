using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.BackEnds.Npy;
using PatternCompiler.BackEnds.ValueChange;
using PatternCompiler.BackEnds.Volts;
using PatternCompiler.BackEnds.Wave;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds;

/// <summary>A form is known by its first bytes: all of them, and none of another form.</summary>
public sealed class RecognitionTests
{
    private delegate bool Recogniser(ReadOnlySpan<byte> firstBytes);

    private static readonly (Recogniser Recognises, byte[] Bytes, int Known)[] Forms =
    [
        (NpyReader.Recognises, Written(s => new NpyWriter(s)), 8),
        (WaveReader.Recognises, Written(s => new WaveWriter(s)), 8),
        (VoltsReader.Recognises, Written(s => new VoltsWriter(s)), 8),
        (DumpReader.Recognises, Written(s => new DumpWriter(s)), 8),
        (ExposureStreamReader.Recognises, Written(s => new ExposureStreamWriter(s, StreamProfile.Lines)), 6),
        (RecordsReader.Recognises, Written(s => new RecordsTextWriter(s)), 9),
        (RecordsReader.Recognises, Written(s => new RecordsBinaryWriter(s)), 8),
    ];

    [Fact]
    public void Each_form_is_known_by_its_own_first_bytes()
    {
        foreach ((Recogniser recognises, byte[] bytes, int known) in Forms)
        {
            Assert.True(recognises(bytes));
            Assert.True(recognises(bytes.AsSpan(0, 16)));
            Assert.All(Forms.Where(other => other.Recognises != recognises), other => Assert.False(other.Recognises(bytes)));
            for (int length = 0; length < 4; length++)
            {
                Assert.False(recognises(bytes.AsSpan(0, length)));
            }

            for (int i = 0; i < Math.Min(known, 4); i++)
            {
                byte[] changed = [.. bytes];
                changed[i] ^= 0x20;
                Assert.False(recognises(changed));
            }
        }
    }

    [Fact]
    public void Tables_and_sounds_need_eight_bytes_to_be_known()
    {
        Assert.False(VoltsReader.Recognises("time_s,"u8));
        Assert.True(VoltsReader.Recognises("time_s,x"u8));
        Assert.False(VoltsReader.Recognises("time_s,y_V"u8));
        Assert.False(WaveReader.Recognises("RIFF123"u8));
        Assert.True(WaveReader.Recognises("RIFF1234"u8));
    }

    private static byte[] Written(Func<Stream, PatternCompiler.Model.IDocumentSink<RecordsHeader, DeflectionRecord>> writer) =>
        Documents.Written<RecordsHeader, DeflectionRecord>(writer, Exposures.Header(12), [DeflectionRecord.Jump(1, 2, 3), DeflectionRecord.Dot(1, 2, 3)]);
}
