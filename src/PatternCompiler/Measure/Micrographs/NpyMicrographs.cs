using System.Buffers.Binary;
using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Measure.Micrographs;

/// <summary>An array file (NPY format, versions 1 to 3) of two dimensions: rows from the top, whole or real numbers.</summary>
internal static partial class NpyMicrographs
{
    private const int PrefixBytes = 8;
    private const int LongestHeader = 1 << 16;

    private static ReadOnlySpan<byte> Magic => [0x93, (byte)'N', (byte)'U', (byte)'M', (byte)'P', (byte)'Y'];

    /// <summary>True for the first bytes of an array file.</summary>
    public static bool Recognises(ReadOnlySpan<byte> file) => file.StartsWith(Magic);

    /// <summary>Decodes it.</summary>
    public static Micrograph Read(byte[] file, SourcePlace place)
    {
        int lengthBytes = file.Length > PrefixBytes && file[6] == 1 ? 2 : 4;
        if (file.Length < PrefixBytes + lengthBytes)
        {
            throw Damaged(place);
        }

        ReadOnlySpan<byte> length = file.AsSpan(PrefixBytes, lengthBytes);
        long headerBytes = lengthBytes == 2 ? BinaryPrimitives.ReadUInt16LittleEndian(length) : BinaryPrimitives.ReadUInt32LittleEndian(length);
        long start = PrefixBytes + lengthBytes + headerBytes;
        if (headerBytes > LongestHeader || start > file.Length)
        {
            throw Damaged(place);
        }

        string header = Encoding.ASCII.GetString(file, PrefixBytes + lengthBytes, (int)headerBytes);
        if (Description().Match(header) is not { Success: true } type || Shape().Match(header) is not { Success: true } shape)
        {
            throw MicrographReader.Unreadable("this array has not two dimensions of whole or real numbers", place, "save rows and columns of plain numbers");
        }

        if (header.Contains("'fortran_order': True", StringComparison.Ordinal))
        {
            throw MicrographReader.Unreadable("this array is stored column by column", place, "save it row by row, in C order");
        }

        (long height, long width) = (Number(shape.Groups[1].Value), Number(shape.Groups[2].Value));
        MicrographReader.RequireSize(width, height, place);
        int bytes = type.Groups[3].Value[0] - '0';
        if (file.Length - start != width * height * bytes)
        {
            throw Damaged(place);
        }

        var values = new float[width * height];
        bool isBig = type.Groups[1].Value == ">";
        char kind = type.Groups[2].Value[0];
        ReadOnlySpan<byte> content = file.AsSpan((int)start);
        for (int i = 0; i < values.Length; i++)
        {
            values[i] = Value(content.Slice(i * bytes, bytes), kind, isBig);
            if (!float.IsFinite(values[i]))
            {
                throw MicrographReader.Unreadable("this array holds values that are no numbers", place, "replace them before saving");
            }
        }

        return new Micrograph((int)width, (int)height, values, kind == 'u' && bytes <= 2 ? 8 * bytes : 0, null);
    }

    private static float Value(ReadOnlySpan<byte> stored, char kind, bool isBig)
    {
        Span<byte> little = stackalloc byte[8];
        little.Clear();
        stored.CopyTo(little);
        if (isBig)
        {
            little[..stored.Length].Reverse();
        }

        ulong bits = BinaryPrimitives.ReadUInt64LittleEndian(little);
        int unused = 64 - 8 * stored.Length;
        return (kind, stored.Length) switch
        {
            ('f', 8) => (float)BitConverter.UInt64BitsToDouble(bits),
            ('f', 4) => BitConverter.UInt32BitsToSingle((uint)bits),
            ('f', 2) => (float)BitConverter.UInt16BitsToHalf((ushort)bits),
            ('f', _) => float.NaN,
            ('i', _) => (long)(bits << unused) >> unused,
            _ => bits,
        };
    }

    private static long Number(string digits) => long.TryParse(digits, NumberStyles.None, CultureInfo.InvariantCulture, out long value) ? value : long.MaxValue;

    private static CompileException Damaged(SourcePlace place) => MicrographReader.Unreadable("this array file is damaged or cut short", place);

    [GeneratedRegex(@"'descr': '([<>|=])([uif])([1248])'")]
    private static partial Regex Description();

    [GeneratedRegex(@"'shape': \((\d+), (\d+)\)")]
    private static partial Regex Shape();
}
