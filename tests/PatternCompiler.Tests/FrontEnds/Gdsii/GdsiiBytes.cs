using System.Buffers.Binary;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Gdsii;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Tests.FrontEnds.Gdsii;

/// <summary>
/// Puts GDSII streams together byte by byte, after the record table of the stream format's published description
/// (release 6; also S. M. Rubin, Computer Aids for VLSI Design, appendix C).
/// </summary>
internal sealed class GdsiiBytes
{
    private readonly List<byte> bytes = [];

    /// <summary>Start of a library; the units are 1e-3 user units and 1e-9 m unless other bytes are given.</summary>
    public static GdsiiBytes Library(string units = "3E4189374BC6A7F0 3944B82FA09B5A54") => new GdsiiBytes()
        .Record(0x0002, "0258").Record(0x0102, new string('0', 48)).Text(0x0206, "LIB").Record(0x0305, units);

    /// <summary>A record: type word and data in hexadecimal, blanks allowed.</summary>
    public GdsiiBytes Record(int typeWord, string data = "")
    {
        byte[] content = Convert.FromHexString(data.Replace(" ", "", StringComparison.Ordinal));
        return Raw(typeWord, content);
    }

    /// <summary>A record of text, padded to an even length.</summary>
    public GdsiiBytes Text(int typeWord, string text) => Raw(typeWord, Encoding.ASCII.GetBytes(text.Length % 2 == 0 ? text : text + "\0"));

    /// <summary>A record of two-byte integers.</summary>
    public GdsiiBytes Shorts(int typeWord, params int[] values) =>
        Raw(typeWord, values.SelectMany(v => new[] { (byte)(v >> 8), (byte)v }).ToArray());

    /// <summary>A record of four-byte integers.</summary>
    public GdsiiBytes Integers(int typeWord, params int[] values) =>
        Raw(typeWord, values.SelectMany(v => new[] { (byte)(v >> 24), (byte)(v >> 16), (byte)(v >> 8), (byte)v }).ToArray());

    /// <summary>Start of a cell.</summary>
    public GdsiiBytes Cell(string name) => Record(0x0502, new string('0', 48)).Text(0x0606, name);

    /// <summary>End of a cell.</summary>
    public GdsiiBytes EndCell() => Record(0x0700);

    /// <summary>A boundary with its first point repeated, as the format asks.</summary>
    public GdsiiBytes Boundary(int layer, int dataType, params int[] xy) =>
        Record(0x0800).Shorts(0x0D02, layer).Shorts(0x0E02, dataType).Integers(0x1003, [.. xy, xy[0], xy[1]]).Record(0x1100);

    /// <summary>The whole stream.</summary>
    public byte[] End() => Record(0x0400).bytes.ToArray();

    /// <summary>Reads a stream named "a.gds".</summary>
    public static LayoutDocument Read(byte[] stream, DrawingOptions? options = null, DiagnosticSink? sink = null) =>
        GdsiiReader.Read(new MemoryStream(stream), "a.gds", options ?? DrawingOptions.Default, sink ?? new(), default);

    /// <summary>The text of the error that reading gives.</summary>
    public static string Error(byte[] stream, DrawingOptions? options = null) =>
        Assert.Throws<CompileException>(() => Read(stream, options)).Message;

    private GdsiiBytes Raw(int typeWord, byte[] content)
    {
        byte[] header = new byte[4];
        BinaryPrimitives.WriteUInt16BigEndian(header, (ushort)(content.Length + 4));
        BinaryPrimitives.WriteUInt16BigEndian(header.AsSpan(2), (ushort)typeWord);
        bytes.AddRange(header);
        bytes.AddRange(content);
        return this;
    }
}
