using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Oracles.BackEnds;

/// <summary>
/// The blank line of every output for both levels, as independent programs see it: NumPy for arrays and samples, plain Python for
/// words, tables, programs and the header of the stream, which it decodes from the specification alone.
/// </summary>
public sealed class BlankLineTests : IDisposable
{
    private const string Numpy = """
        import sys, numpy
        a = numpy.load(sys.argv[1])
        print(' '.join('%d%d' % (r['beam'], r['blank']) for r in a for _ in range(int(r['ticks']))))
        """;

    // Frames behind the 68 bytes of header; the third channel is the line, at full scale in either direction.
    private const string Samples = """
        import sys, numpy
        a = numpy.fromfile(sys.argv[1], dtype='<i2', offset=68).reshape(-1, 3)
        assert set(a[:, 2]) == {-32768, 32767}
        print(' '.join('-%d' % (v > 0) for v in a[:, 2]))
        """;

    private const string Words = """
        import sys, struct
        b = open(sys.argv[1], 'rb').read()
        out = []
        for x, y, ticks, blank in struct.iter_unpack('<HHHH', b):
            assert blank in (0, 0xFFFF)
            out += ['-%d' % (blank == 0xFFFF)] * ticks
        print(' '.join(out))
        """;

    private const string Table = """
        import sys, csv
        rows = list(csv.DictReader(open(sys.argv[1])))
        out = []
        for now, then in zip(rows, rows[1:] + rows[-1:]):
            ticks = round((float(then['time_s']) - float(now['time_s'])) * 48000)
            out += [now['beam'] + now['blank']] * (ticks if now is not then else 1)
        print(' '.join(out))
        """;

    // Modal M3 and M5 as NISTIR 6556 has them, and the message that says what M5 has to be.
    private const string Motion = """
        import sys, re
        off, on, out = None, False, []
        for line in open(sys.argv[1]):
            line = line.strip()
            m = re.fullmatch(r'\(MSG, M5 turns the beam off: the blank line must then be (high|low)\)', line)
            if m: off = m[1] == 'high'
            if line in ('M3', 'M5'): on = line == 'M3'
            t = re.search(r'G4 P([\d.]+)', line)
            f = re.search(r'F([\d.]+)', line)
            seconds = float(t[1]) if t else 60 / float(f[1]) if f else 0
            out += ['%d%d' % (on, on != off)] * round(seconds * 48000)
            if line == 'M2': on = False; out.append('0%d' % off)
        print(' '.join(out))
        """;

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

    // The same tick by tick, beam on; the last one ends it.
    private static readonly bool[] Beam =
    [
        .. Enumerable.Repeat(false, 3), .. Enumerable.Repeat(true, 10), .. Enumerable.Repeat(false, 2), .. Enumerable.Repeat(true, 4), false,
    ];

    private readonly string folder = Directory.CreateTempSubdirectory("blank").FullName;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [NumPyFact]
    public void An_array_has_beam_and_line() => AssertBoth(OutputFormat.Array, Numpy, tellsBeam: true);

    [NumPyFact]
    public void The_third_channel_of_a_sound_file_is_the_line() => AssertBoth(OutputFormat.Wave, Samples, tellsBeam: false);

    [NumPyFact]
    public void The_blank_field_of_words_is_the_line() => AssertBoth(OutputFormat.Words, Words, tellsBeam: false);

    [NumPyFact]
    public void The_last_column_of_a_table_is_the_line() => AssertBoth(OutputFormat.Volts, Table, tellsBeam: true);

    [NumPyFact]
    public void A_motion_program_says_what_its_spindle_output_must_be() => AssertBoth(OutputFormat.Motion, Motion, tellsBeam: true);

    [NumPyFact]
    public void The_header_of_a_stream_states_level_and_digests()
    {
        var madeFor = new MadeFor(SettingsDigest.Of("machine"u8), default);
        Assert.Equal(
            $"teaching microscope 1 {Sha256Of("machine")} {new string('0', 32)}", Seen(OutputFormat.Stream, BlankLevel.High, Header, madeFor));
        Assert.Equal(
            $"teaching microscope 2 {Sha256Of("machine")} {new string('0', 32)}", Seen(OutputFormat.Stream, BlankLevel.Low, Header, madeFor));
    }

    private static string Sha256Of(string text)
    {
        (int code, string output, string errors) = OutsidePrograms.Run(
            OutsidePrograms.Python, "-c", "import sys, hashlib; print(hashlib.sha256(sys.argv[1].encode()).hexdigest()[:32])", text);
        Assert.True(code == 0, errors);
        return output.Trim();
    }

    private void AssertBoth(OutputFormat format, string program, bool tellsBeam)
    {
        foreach (BlankLevel level in new[] { BlankLevel.High, BlankLevel.Low })
        {
            bool isHighWhenOff = level == BlankLevel.High;
            string expected = string.Join(' ', Beam.Select(isOn => $"{(tellsBeam ? isOn ? "1" : "0" : "-")}{(isOn == isHighWhenOff ? "0" : "1")}"));
            Assert.Equal(expected, Seen(format, level, program, default));
        }
    }

    private string Seen(OutputFormat format, BlankLevel level, string program, MadeFor madeFor)
    {
        string path = Path.Combine(folder, $"{format}.{level}");
        using (FileStream stream = File.Create(path))
        {
            IDocumentSink<RecordsHeader, DeflectionRecord> writer = OutputWriter.Create(format, stream, DefaultFiles.Machine);
            writer.Begin(new RecordsHeader(
                "teaching microscope", new Dac(12, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 48_000, 1, 65535, 1, 1, false)
            {
                BlankLevel = level,
                MadeFor = madeFor,
            });
            writer.Write(Pattern);
            writer.End();
        }

        (int code, string output, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, "-c", program, path);
        Assert.True(code == 0, errors);
        return output.Trim();
    }
}
