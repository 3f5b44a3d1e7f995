using System.Buffers.Binary;

namespace PatternCompiler.Measure.Micrographs;

/// <summary>
/// Looks over the first directory of a TIFF file (TIFF 6.0, section 2) before the library does, which takes as much memory as
/// an entry claims to need.
/// </summary>
internal static class TiffDirectory
{
    private const int EntryBytes = 12;
    private const int ImageLength = 257;
    private const int StripOffsets = 273;
    private const int RowsPerStrip = 278;
    private const int StripByteCounts = 279;
    private const int ShortType = 3;
    private const int LongType = 4;

    // By the number of the type: byte, text, short, long, rational, then the signed ones, float and double.
    private static ReadOnlySpan<byte> BytesOfType => [1, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4];

    /// <summary>True if every value that the directory names lies within the file, and so may every strip that the rows need.</summary>
    public static bool FitsFile(ReadOnlySpan<byte> file)
    {
        if (file.Length < 8)
        {
            return false;
        }

        bool isBig = file[0] == (byte)'M';
        long at = Long(file[4..], isBig);
        if (at + 2 > file.Length)
        {
            return false;
        }

        int entries = Short(file[(int)at..], isBig);
        if (at + 2 + (long)entries * EntryBytes > file.Length)
        {
            return false;
        }

        long rows = 0, rowsInStrip = uint.MaxValue, strips = 0;
        for (int i = 0; i < entries; i++)
        {
            ReadOnlySpan<byte> entry = file.Slice((int)at + 2 + i * EntryBytes, EntryBytes);
            int type = Short(entry[2..], isBig);
            long bytes = Long(entry[4..], isBig) * (type < BytesOfType.Length ? BytesOfType[type] : 8);
            long place = Long(entry[8..], isBig);
            if (bytes > file.Length || bytes > 4 && place + bytes > file.Length)
            {
                return false;
            }

            long number = type == ShortType ? Short(entry[8..], isBig) : place;
            switch (Short(entry, isBig))
            {
                case ImageLength:
                    rows = Math.Max(rows, number);
                    break;
                case RowsPerStrip:
                    rowsInStrip = Math.Min(rowsInStrip, Math.Max(1, number));
                    break;
                case StripOffsets:
                    strips = Long(entry[4..], isBig);
                    break;
            }

            if (Short(entry, isBig) is StripOffsets or StripByteCounts && !AreWithin(file.Length, bytes > 4 ? file.Slice((int)place, (int)bytes) : entry.Slice(8, (int)bytes), type, isBig))
            {
                return false;
            }
        }

        return rows <= strips * rowsInStrip;
    }

    // Where strips begin and how long they are: short or long numbers, and what is not stated the library works out from the others.
    private static bool AreWithin(long fileBytes, ReadOnlySpan<byte> values, int type, bool isBig)
    {
        int size = type == ShortType ? 2 : 4;
        for (int i = 0; i + size <= values.Length; i += size)
        {
            if ((type == ShortType ? Short(values[i..], isBig) : Long(values[i..], isBig)) > fileBytes)
            {
                return false;
            }
        }

        return type is ShortType or LongType;
    }

    private static int Short(ReadOnlySpan<byte> bytes, bool isBig) =>
        isBig ? BinaryPrimitives.ReadUInt16BigEndian(bytes) : BinaryPrimitives.ReadUInt16LittleEndian(bytes);

    private static long Long(ReadOnlySpan<byte> bytes, bool isBig) =>
        isBig ? BinaryPrimitives.ReadUInt32BigEndian(bytes) : BinaryPrimitives.ReadUInt32LittleEndian(bytes);
}
