using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Oracles.BackEnds;

/// <summary>
/// What the header of a stream states, decoded in plain Python from the specification alone. The blank line of the other outputs
/// is seen by the readers of <see cref="OutputPageTests"/>.
/// </summary>
public sealed class StreamHeaderTests : IDisposable
{
    private const string Header = """
        import sys, struct, hashlib
        b = open(sys.argv[1], 'rb').read()
        def crc32c(data):
            crc = 0xFFFFFFFF
            for byte in data:
                crc ^= byte
                for _ in range(8):
                    crc = crc >> 1 ^ (0x82F63B78 if crc & 1 else 0)
            return crc ^ 0xFFFFFFFF
        magic, major, minor, length, inverted = struct.unpack_from('<6sBBHH', b)
        assert magic == b'\x9cPCX\r\n' and (major, minor) == (1, 1) and length ^ inverted == 0xFFFF
        h = b[:length]
        assert struct.unpack_from('<I', h, length - 4)[0] == crc32c(h[:-4])
        n = h[84]
        assert h[76:84] == hashlib.sha256(h[16:76] + h[85:85 + n]).digest()[:8]
        assert length == 85 + n + 33 + 4
        level, settings, exposure = struct.unpack_from('<B16s16s', h, 85 + n)
        print(h[85:85 + n].decode(), level, settings.hex(), exposure.hex())
        """;

    private static readonly DeflectionRecord[] Pattern =
    [
        DeflectionRecord.Jump(0, 4095, 3),
        DeflectionRecord.Line(100, 2048, 104, 2048, 5, 10),
        DeflectionRecord.Jump(2048, 0, 2),
        DeflectionRecord.Dot(4095, 1, 4),
    ];

    private readonly string folder = Directory.CreateTempSubdirectory("header").FullName;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [NumPyFact]
    public void The_header_of_a_stream_states_level_and_digests()
    {
        var madeFor = new MadeFor(SettingsDigest.Of("machine"u8), default);
        Assert.Equal(
            $"teaching microscope 1 {Sha256Of("machine")} {new string('0', 32)}", Seen(BlankLevel.High, madeFor));
        Assert.Equal(
            $"teaching microscope 2 {Sha256Of("machine")} {new string('0', 32)}", Seen(BlankLevel.Low, madeFor));
    }

    private static string Sha256Of(string text)
    {
        (int code, string output, string errors) = OutsidePrograms.Run(
            OutsidePrograms.Python, "-c", "import sys, hashlib; print(hashlib.sha256(sys.argv[1].encode()).hexdigest()[:32])", text);
        Assert.True(code == 0, errors);
        return output.Trim();
    }

    private string Seen(BlankLevel level, MadeFor madeFor)
    {
        string path = Path.Combine(folder, $"{level}.stream");
        using (FileStream stream = File.Create(path))
        {
            IDocumentSink<RecordsHeader, DeflectionRecord> writer = OutputFormats.Create(OutputFormat.Stream, stream, DefaultFiles.Machine);
            writer.Begin(new RecordsHeader(
                "teaching microscope", new Dac(12, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 48_000, 1, 65535, 1, 1, false)
            {
                BlankLevel = level,
                MadeFor = madeFor,
            });
            writer.Write(Pattern);
            writer.End();
        }

        (int code, string output, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, "-c", Header, path);
        Assert.True(code == 0, errors);
        return output.Trim();
    }
}
