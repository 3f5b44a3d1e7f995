using System.Text;
using CsCheck;
using PatternCompiler.BackEnds.Npy;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds.Npy;

public sealed class NpyTests
{
    private static readonly DeflectionRecord[] Pattern =
    [
        DeflectionRecord.Jump(0, 0xFFF, 2),
        DeflectionRecord.Line(0x801, 0x7FF, 0x803, 0x7FF, 3, 0x1_0000_0001),
    ];

    // The whole file as NumPy 1.24.2 of Debian 12 writes it:
    //   t = [('x', '<i4'), ('y', '<i4'), ('ticks', '<i8'), ('beam', '?'), ('blank', '?')]
    //   numpy.save(f, numpy.array([(0, 4095, 2, False, True), (2049, 2047, 1431655765, True, False),
    //                              (2050, 2047, 1431655766, True, False), (2051, 2047, 1431655766, True, False),
    //                              (2051, 2047, 1, False, True)], dtype=t))
    // Its last row is the tick that turns the beam off.
    private const string AsSavedByNumPy =
        "934E554D50590100B6007B276465736372273A205B282778272C20273C693427292C20282779272C20273C693427292C2028" +
        "277469636B73272C20273C693827292C2028276265616D272C20277C623127292C202827626C616E6B272C20277C62312729" +
        "5D2C2027666F727472616E5F6F72646572273A2046616C73652C20277368617065273A2028352C292C207D20202020202020" +
        "20202020202020202020202020202020202020202020202020202020202020202020202020202020200A00000000FF0F0000" +
        "0200000000000000000101080000FF0700005555555500000000010002080000FF0700005655555500000000010003080000" +
        "FF0700005655555500000000010003080000FF07000001000000000000000001";

    [Fact]
    public void Bytes_are_those_of_an_independent_writer() =>
        Assert.Equal(AsSavedByNumPy, Convert.ToHexString(Written(Exposures.Header(12), Pattern)));

    [Fact]
    public void Decoding_what_was_emitted_gives_the_same_exposure() => Exposures.Any(long.MaxValue / 200, 20).Sample(
        exposure =>
        {
            var (header, items) = exposure;
            CollectingSink<RecordsHeader, DeflectionRecord> sink = Read(Written(header, items), header);
            Assert.Equal(Exposures.Unclosed(header, items), Exposures.Unclosed(header, sink.Items));
            Assert.True(sink.HasEnded);
        },
        iter: Iterations.Usually(100));

    [Fact]
    public void Faults_name_place_and_remedy()
    {
        RecordsHeader header = Exposures.Header(12);
        byte[] bytes = Written(header, Pattern);
        Assert.Equal(
            "a (byte 250): error PC2006: the array states 5 rows and stops after 3; emit it again; the stage or copy that wrote it did not finish",
            Fault(bytes[..250], header));
        Assert.Equal(
            "a (byte 192): error PC2013: row 0 is x 0, y 4095, 2 ticks, beam 0, blank 1: not of this converter; name the machine file with which the array was made",
            Fault(bytes, Exposures.Header(10)));
        Assert.Equal("a: error PC2009: more bytes follow the last row; give one array at a time", Fault([.. bytes, 0], header));
        Assert.Equal(
            "a: error PC2001: expected an array file with the columns x, y, ticks, beam and blank, found something else; make it with patternc emit",
            Fault([1, 2, 3], header));
    }

    // Rows of 18 bytes behind the header: x, y, ticks, beam, blank; 12 bits; high with the beam off. The last row turns it off.
    [Theory]
    [InlineData(0, 4095, 5, 1, 0, null)]
    [InlineData(4095, 0, 0, 0, 1, null)]
    [InlineData(-1, 0, 5, 0, 1, "not of this converter")]
    [InlineData(4096, 0, 5, 0, 1, "not of this converter")]
    [InlineData(0, -1, 5, 0, 1, "not of this converter")]
    [InlineData(0, 4096, 5, 0, 1, "not of this converter")]
    [InlineData(0, 0, -1, 0, 1, "not of this converter")]
    [InlineData(0, 0, 5, 2, 1, "not of this converter")]
    [InlineData(0, 0, 5, 0, 2, "not of this converter")]
    [InlineData(0, 0, 5, 0, 0, "blank line that is low with the beam off")]
    [InlineData(0, 0, 5, 1, 1, "blank line that is low with the beam off")]
    public void Every_column_of_a_row_is_looked_at(int x, int y, long ticks, byte beam, byte blank, string? fault)
    {
        byte[] row = [.. BitConverter.GetBytes(x), .. BitConverter.GetBytes(y), .. BitConverter.GetBytes(ticks), beam, blank];
        byte[] last = [.. new byte[17], 1];
        string? message = Record.Exception(() => Read([.. NpyFormat.Header(2), .. row, .. last], Exposures.Header(12)))?.Message;
        Assert.Equal(fault is null, message is null);
        Assert.Contains(fault ?? "", message ?? "", StringComparison.Ordinal);
    }

    /// <summary>Magic, version, column names and types, order of the array: any other byte there is another array.</summary>
    [Fact]
    public void A_description_with_any_byte_changed_is_refused()
    {
        byte[] bytes = Written(Exposures.Header(12), Pattern);
        int end = Encoding.ASCII.GetString(bytes).IndexOf(NpyFormat.AfterRows, StringComparison.Ordinal) + NpyFormat.AfterRows.Length;
        for (int i = 0; i < end; i++)
        {
            byte[] changed = [.. bytes];
            changed[i] ^= 1;

            // The length of the description, which is always the same, and the number of rows.
            if (i is not (8 or 9) && !char.IsAsciiDigit((char)bytes[i]))
            {
                Assert.Throws<CompileException>(() => Read(changed, Exposures.Header(12)));
            }
        }
    }

    [Fact]
    public void An_array_cannot_go_into_a_pipe()
    {
        using var pipe = new System.IO.Compression.DeflateStream(new MemoryStream(), System.IO.Compression.CompressionMode.Compress);
        Assert.Equal(
            "error PC2010: an array file states its length at its beginning, so it cannot be written to a pipe; write it to a file",
            Assert.Throws<CompileException>(() => new NpyWriter(pipe)).Message);
    }

    private static string Fault(byte[] bytes, RecordsHeader header) =>
        Assert.Throws<CompileException>(() => Read(bytes, header)).Message;

    /// <summary>More than any buffer holds: 30,000 points, no two neighbours alike, read back as they were.</summary>
    [Fact]
    public void A_long_exposure_comes_back_whole()
    {
        RecordsHeader header = Exposures.Header(12);
        DeflectionRecord[] items = [DeflectionRecord.Jump(7, 9, 50), .. Enumerable.Range(0, 30_000).Select(i => DeflectionRecord.Dot(i * 7 % 4096, i * 11 % 4096, 1 + i % 13))];
        Assert.Equal(Exposures.Unclosed(header, items), Exposures.Unclosed(header, Read(Written(header, items), header).Items));
    }

    private static byte[] Written(RecordsHeader header, DeflectionRecord[] items) =>
        Documents.Written<RecordsHeader, DeflectionRecord>(s => new NpyWriter(s), header, items);

    private static CollectingSink<RecordsHeader, DeflectionRecord> Read(byte[] bytes, RecordsHeader header)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        using var stream = new PiecewiseStream(bytes, 11);
        NpyReader.Read(stream, "a", header, sink, default);
        return sink;
    }
}
