using System.Buffers.Binary;
using System.Collections.Immutable;
using System.Text;

namespace PatternCompiler.VirtualLab.Streams;

/// <summary>
/// An exposure stream, read whole as a receiver reads it: every check of the stream's page holds, and a fault is an exception with
/// nothing read.
/// </summary>
public sealed record DecodedExposure(StreamHeader Header, ImmutableArray<StreamRecord> Records)
{
    private const int FixedHeader = 85;
    private const int LargestPayload = 512;
    private const int LargestBits = 24;

    public static DecodedExposure Read(string path) => Read(File.ReadAllBytes(path));

    public static DecodedExposure Read(ReadOnlySpan<byte> bytes)
    {
        StreamHeader header = ReadHeader(bytes, out int length);
        ReadOnlySpan<byte> rest = bytes[length..];
        ImmutableArray<StreamRecord>.Builder records = ImmutableArray.CreateBuilder<StreamRecord>();
        for (uint number = 0; ; number++)
        {
            ReadOnlySpan<byte> payload = Block(ref rest, number, out byte type, out int count);
            if (type == (byte)'E')
            {
                RequireTotals(payload, count, records);
                Require(rest.IsEmpty, "something follows the end block");
                return new DecodedExposure(header, records.DrainToImmutable());
            }

            ReadRecords(header, payload, count, records);
        }
    }

    private static StreamHeader ReadHeader(ReadOnlySpan<byte> bytes, out int length)
    {
        Require(bytes.Length >= FixedHeader + 4 && bytes[..6].SequenceEqual((ReadOnlySpan<byte>)[0x9C, 0x50, 0x43, 0x58, 0x0D, 0x0A]), "this is no exposure stream");
        Require(bytes[6] == 1, "the major version is not 1");
        length = BinaryPrimitives.ReadUInt16LittleEndian(bytes[8..]);
        Require((ushort)~length == BinaryPrimitives.ReadUInt16LittleEndian(bytes[10..]) && length <= 512 && length <= bytes.Length, "the header's length is damaged");
        Require(Crc32C.Of(bytes[..(length - 4)]) == BinaryPrimitives.ReadUInt32LittleEndian(bytes[(length - 4)..]), "the header's CRC is wrong");
        int minor = bytes[7], nameLength = bytes[84];
        Require(length >= FixedHeader + nameLength + 4 + (minor >= 1 ? 33 : 0), "the header ends before its fields");
        int level = minor >= 1 ? bytes[FixedHeader + nameLength] : 0;
        Require(level <= 3, "the level of the blank line is none");
        var header = new StreamHeader(
            minor, bytes[12], bytes[13] % 2 == 1, bytes[16], bytes[17], bytes[18] == 1, bytes[19] == 1,
            Number(bytes, 20), Number(bytes, 28), Number(bytes, 36), Encoding.UTF8.GetString(bytes.Slice(FixedHeader, nameLength)), level)
        {
            HoldsTriggers = bytes[13] >= 2,
        };
        Require(header.WordBytes is >= 2 and <= 4 && bytes[13] <= (minor >= 2 ? 3 : 1) && header.Bits is >= 8 and <= LargestBits && header.Coding <= 2, "the header asks for what no receiver is");
        Require(header.ClockHertz > 0 && double.IsFinite(header.ClockHertz) && header.HighestVolts > header.LowestVolts, "clock or voltage range are none");
        return header;
    }

    private static ReadOnlySpan<byte> Block(ref ReadOnlySpan<byte> rest, uint number, out byte type, out int count)
    {
        Require(rest.Length >= 14, "the stream ends without an end block");
        (type, count) = (rest[0], rest[1]);
        int length = BinaryPrimitives.ReadUInt16LittleEndian(rest[2..]);
        Require(type is (byte)'R' or (byte)'E', "a block has an unknown type");
        Require((ushort)~length == BinaryPrimitives.ReadUInt16LittleEndian(rest[4..]) && length is >= 1 and <= LargestPayload && rest.Length >= length + 14, "a block's length is damaged");
        Require(Crc32C.Of(rest[..(10 + length)]) == BinaryPrimitives.ReadUInt32LittleEndian(rest[(10 + length)..]), "a block's CRC is wrong");
        Require(BinaryPrimitives.ReadUInt32LittleEndian(rest[6..]) == number, "a block is missing or doubled");
        ReadOnlySpan<byte> payload = rest.Slice(10, length);
        rest = rest[(14 + length)..];
        return payload;
    }

    private static void ReadRecords(StreamHeader header, ReadOnlySpan<byte> payload, int count, ImmutableArray<StreamRecord>.Builder records)
    {
        var words = new WordReader(payload, header);
        for (int i = 0; i < count; i++)
        {
            StreamRecord record = (RecordKind)words.Word() switch
            {
                RecordKind.Jump => new StreamRecord(RecordKind.Jump, words.Code(), words.Code(), 0, 0, words.Pair(), 0, 0),
                RecordKind.Dot => new StreamRecord(RecordKind.Dot, words.Code(), words.Code(), 0, 0, words.Pair(), 0, 0),
                RecordKind.Line when header.HoldsLines => Line(ref words),
                RecordKind.Wait => new StreamRecord(RecordKind.Wait, 0, 0, 0, 0, words.Pair(), 0, 0),
                RecordKind.Trigger when header.HoldsTriggers => Trigger(ref words),
                RecordKind.Marker => new StreamRecord(RecordKind.Marker, 0, 0, 0, 0, words.Pair(), 0, 0),
                _ => throw new StreamFaultException("a record has an unknown kind"),
            };
            records.Add(record);
        }

        Require(words.IsAtEnd, "records do not fill their block");
    }

    private static StreamRecord Trigger(ref WordReader words)
    {
        long longest = words.Pair();
        Require(longest > 0, "a trigger is waited for no time");
        return new StreamRecord(RecordKind.Trigger, 0, 0, 0, 0, longest, 0, 0);
    }

    private static StreamRecord Line(ref WordReader words)
    {
        int x = words.Code(), y = words.Code(), endX = words.Code(), endY = words.Code();
        long points = words.Pair(), ticks = words.Pair(), longer = words.Pair();
        Require(points is >= 1 and <= int.MaxValue && longer < points, "a line's points are none");
        return new StreamRecord(RecordKind.Line, x, y, endX, endY, ticks, points, longer);
    }

    private static void RequireTotals(ReadOnlySpan<byte> payload, int count, ImmutableArray<StreamRecord>.Builder records)
    {
        Require(count == 0 && payload.Length == 24, "the end block is none");
        long points = 0, ticks = 0;
        foreach (StreamRecord record in records)
        {
            points += record.ExposedPoints;
            ticks += record.TotalTicks;
        }

        Require(
            BinaryPrimitives.ReadInt64LittleEndian(payload) == records.Count
            && BinaryPrimitives.ReadInt64LittleEndian(payload[8..]) == points
            && BinaryPrimitives.ReadInt64LittleEndian(payload[16..]) == ticks,
            "the totals are not those of the records");
    }

    private static double Number(ReadOnlySpan<byte> bytes, int offset) => BinaryPrimitives.ReadDoubleLittleEndian(bytes[offset..]);

    private static void Require(bool holds, string fault)
    {
        if (!holds)
        {
            throw new StreamFaultException(fault);
        }
    }

    /// <summary>Words of a payload.</summary>
    private ref struct WordReader(ReadOnlySpan<byte> payload, StreamHeader header)
    {
        private ReadOnlySpan<byte> rest = payload;

        public readonly bool IsAtEnd => rest.IsEmpty;

        public uint Word()
        {
            Require(rest.Length >= header.WordBytes, "a record crosses the end of its block");
            uint word = 0;
            for (int i = header.WordBytes - 1; i >= 0; i--)
            {
                word = (word << 8) | rest[i];
            }

            rest = rest[header.WordBytes..];
            return word;
        }

        /// <summary>A code in natural order, 0 the lowest.</summary>
        public int Code()
        {
            uint word = Word();
            Require(word < 1u << header.Bits, "a code is too large");
            return (int)(header.Coding == 2 ? word ^ (1u << (header.Bits - 1)) : word);
        }

        /// <summary>Lower word first: 16 and 16 bits, 24 and 8, or 32 and none.</summary>
        public long Pair()
        {
            ulong low = Word(), high = Word();
            ulong pair = low | (high << (8 * header.WordBytes));
            Require(pair <= uint.MaxValue, "a pair is too large");
            return (long)pair;
        }
    }
}
