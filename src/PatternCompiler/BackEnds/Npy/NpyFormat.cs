using System.Globalization;
using System.Text;

namespace PatternCompiler.BackEnds.Npy;

/// <summary>
/// The array file (NPY format, version 1.0): magic, version, length of a Python literal that describes the array, the
/// literal padded with spaces to a multiple of 64 bytes, then the rows.
/// </summary>
internal static class NpyFormat
{
    public const int HeaderBytes = 192;
    public const int RowBytes = 18;
    public const int YOffset = 4;
    public const int TicksOffset = 8;
    public const int BeamOffset = 16;
    public const int BlankOffset = 17;

    private const int PrefixBytes = 10;
    private const string Columns = "[('x', '<i4'), ('y', '<i4'), ('ticks', '<i8'), ('beam', '|b1'), ('blank', '|b1')]";

    /// <summary>First bytes.</summary>
    public static ReadOnlySpan<byte> Magic => [0x93, (byte)'N', (byte)'U', (byte)'M', (byte)'P', (byte)'Y', 1, 0];

    /// <summary>Start of the description, up to the number of rows.</summary>
    public const string BeforeRows = "{'descr': " + Columns + ", 'fortran_order': False, 'shape': (";

    /// <summary>The description behind the number of rows.</summary>
    public const string AfterRows = ",), }";

    /// <summary>The header for a number of rows; always of the same length.</summary>
    public static byte[] Header(long rows)
    {
        byte[] header = new byte[HeaderBytes];
        header.AsSpan().Fill((byte)' ');
        Magic.CopyTo(header);
        header[Magic.Length] = HeaderBytes - PrefixBytes;
        header[Magic.Length + 1] = 0;
        Encoding.ASCII.GetBytes(BeforeRows + rows.ToString(CultureInfo.InvariantCulture) + AfterRows, header.AsSpan(PrefixBytes));
        header[^1] = (byte)'\n';
        return header;
    }

    /// <summary>Reads the number of rows from a header; false if it is no header of this array.</summary>
    public static bool TryRows(ReadOnlySpan<byte> header, out long rows)
    {
        string text = Encoding.ASCII.GetString(header[PrefixBytes..]);
        int end = text.IndexOf(AfterRows, StringComparison.Ordinal);
        rows = 0;
        return header.StartsWith(Magic) &&
            text.StartsWith(BeforeRows, StringComparison.Ordinal) &&
            end > 0 &&
            long.TryParse(text.AsSpan(BeforeRows.Length, end - BeforeRows.Length), NumberStyles.None, CultureInfo.InvariantCulture, out rows);
    }
}
