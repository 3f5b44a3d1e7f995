using System.Buffers.Binary;
using System.Text;
using PatternCompiler.FrontEnds.Gdsii;
using PatternCompiler.Geometry;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>Writes records of the GDSII stream format.</summary>
internal sealed class GdsiiOutput(Stream target)
{
    /// <summary>Most points that one record of coordinates can hold: (65535 − 4) / 8.</summary>
    public const int MostPoints = 8191;

    private const int BufferSize = 1 << 17;
    private const int HeaderLength = 4;
    private const byte NoData = 0;
    private const byte Bits = 1;
    private const byte TwoByteIntegers = 2;
    private const byte FourByteIntegers = 3;
    private const byte Reals = 5;
    private const byte Characters = 6;

    private readonly byte[] buffer = new byte[BufferSize];
    private int used;

    /// <summary>A record without data.</summary>
    public void Empty(GdsiiRecordType type) => Begin(type, NoData, 0);

    /// <summary>A record of flags.</summary>
    public void Flags(GdsiiRecordType type, ushort flags) => BinaryPrimitives.WriteUInt16BigEndian(Begin(type, Bits, 2), flags);

    /// <summary>A record of two-byte integers.</summary>
    public void Shorts(GdsiiRecordType type, params ReadOnlySpan<short> values)
    {
        Span<byte> data = Begin(type, TwoByteIntegers, 2 * values.Length);
        for (int i = 0; i < values.Length; i++)
        {
            BinaryPrimitives.WriteInt16BigEndian(data[(2 * i)..], values[i]);
        }
    }

    /// <summary>A record of one four-byte integer.</summary>
    public void Integer(GdsiiRecordType type, int value) => BinaryPrimitives.WriteInt32BigEndian(Begin(type, FourByteIntegers, 4), value);

    /// <summary>A record of points; the first one is repeated at the end on demand.</summary>
    public void Points(ReadOnlySpan<GridPoint> points, bool close)
    {
        Span<byte> data = Begin(GdsiiRecordType.Coordinates, FourByteIntegers, 8 * (points.Length + (close ? 1 : 0)));
        for (int i = 0; i < data.Length / 8; i++)
        {
            GridPoint point = points[i == points.Length ? 0 : i];
            BinaryPrimitives.WriteInt32BigEndian(data[(8 * i)..], point.X);
            BinaryPrimitives.WriteInt32BigEndian(data[((8 * i) + 4)..], point.Y);
        }
    }

    /// <summary>A record of reals.</summary>
    public void RealNumbers(GdsiiRecordType type, params ReadOnlySpan<double> values)
    {
        Span<byte> data = Begin(type, Reals, 8 * values.Length);
        for (int i = 0; i < values.Length; i++)
        {
            GdsiiReal.Write(data[(8 * i)..], values[i]);
        }
    }

    /// <summary>A record of text, padded to an even length.</summary>
    public void Text(GdsiiRecordType type, string text)
    {
        Span<byte> data = Begin(type, Characters, (text.Length + 1) & ~1);
        data.Clear();
        Encoding.ASCII.GetBytes(text, data);
    }

    /// <summary>Hands everything so far to the target.</summary>
    public void Flush()
    {
        target.Write(buffer, 0, used);
        used = 0;
    }

    private Span<byte> Begin(GdsiiRecordType type, byte dataType, int length)
    {
        if (BufferSize - used < HeaderLength + length)
        {
            Flush();
        }

        BinaryPrimitives.WriteUInt16BigEndian(buffer.AsSpan(used), (ushort)(HeaderLength + length));
        buffer[used + 2] = (byte)type;
        buffer[used + 3] = dataType;
        Span<byte> data = buffer.AsSpan(used + HeaderLength, length);
        used += HeaderLength + length;
        return data;
    }
}
