using System.IO.Compression;
using System.IO.Hashing;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Oasis;
using PatternCompiler.Model.Layout;
using PatternCompiler.Tests.FrontEnds.Layout;

namespace PatternCompiler.Tests.FrontEnds.Oasis;

/// <summary>
/// Puts OASIS files together byte by byte, after the record layouts of SEMI P39 (from memory). Written apart from the reader:
/// numbers are encoded here by the rules of the standard, and nothing of the reader is used.
/// </summary>
internal sealed class OasisFile
{
    private readonly List<byte> bytes = [];

    /// <summary>Magic bytes and START: version 1.0, 1000 units to the micrometre, table offsets in START.</summary>
    public static OasisFile Start() => new OasisFile().Raw([.. "%SEMI-OASIS\r\n"u8]).U(1).S("1.0").U(0, 1000).U(0).U(0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0);

    /// <summary>A part of a file.</summary>
    public static OasisFile Part() => new();

    /// <summary>Unsigned integers: seven bits a byte, the lowest first.</summary>
    public OasisFile U(params long[] values)
    {
        foreach (long value in values)
        {
            long rest = value;
            for (; rest > 0x7f; rest >>= 7)
            {
                bytes.Add((byte)(0x80 | (rest & 0x7f)));
            }

            bytes.Add((byte)rest);
        }

        return this;
    }

    /// <summary>Signed integers: the sign in the lowest bit.</summary>
    public OasisFile I(params long[] values) => U([.. values.Select(v => (Math.Abs(v) << 1) | (v < 0 ? 1L : 0))]);

    /// <summary>A displacement of two components.</summary>
    public OasisFile G(long x, long y) => U((Math.Abs(x) << 2) | (x < 0 ? 2L : 0) | 1).I(y);

    /// <summary>A string.</summary>
    public OasisFile S(string text) => U(text.Length).Raw(Encoding.ASCII.GetBytes(text));

    /// <summary>Bytes, such as a record's number and its info byte.</summary>
    public OasisFile B(params byte[] values) => Raw(values);

    /// <summary>A cell by name.</summary>
    public OasisFile Cell(string name) => U(14).S(name);

    /// <summary>A compressed block.</summary>
    public OasisFile Block(OasisFile content, long? stated = null)
    {
        using var compressed = new MemoryStream();
        using (var deflate = new DeflateStream(compressed, CompressionLevel.Optimal, leaveOpen: true))
        {
            deflate.Write([.. content.bytes]);
        }

        return U(34, 0, stated ?? content.bytes.Count, compressed.Length).Raw(compressed.ToArray());
    }

    /// <summary>END with its padding to 256 bytes and a signature by scheme 0 (none), 1 (CRC-32) or 2 (sum of bytes).</summary>
    public byte[] End(int scheme = 0)
    {
        // One byte each for the record's number and the scheme, two for the length of the padding.
        int padding = 256 - 1 - 2 - 1 - (scheme == 0 ? 0 : 4);
        U(2, padding).Raw(new byte[padding]).U(scheme);
        uint signature = scheme == 1 ? Crc32.HashToUInt32([.. bytes]) : (uint)bytes.Sum(b => b);
        return scheme == 0 ? [.. bytes] : [.. bytes, (byte)signature, (byte)(signature >> 8), (byte)(signature >> 16), (byte)(signature >> 24)];
    }

    public static LayoutDocument Read(byte[] file, DrawingOptions? options = null, DiagnosticSink? sink = null) =>
        OasisReader.Read(new MemoryStream(file), "a.oas", options ?? DrawingOptions.Default, sink ?? new(), default);

    /// <summary>The statements of the drawing, without the head of the text layout.</summary>
    public static string Shapes(byte[] file)
    {
        string text = LayoutText.Print(Read(file));
        return text[(text.IndexOf("\n\n", StringComparison.Ordinal) + 2)..].TrimEnd();
    }

    public static string Error(byte[] file) => Assert.Throws<CompileException>(() => Read(file)).Message;

    private OasisFile Raw(byte[] values)
    {
        bytes.AddRange(values);
        return this;
    }
}
