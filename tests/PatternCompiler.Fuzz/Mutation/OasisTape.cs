namespace PatternCompiler.Fuzz.Mutation;

/// <summary>
/// Passes over one record after the layouts of SEMI P39 (from memory; nothing of the reader is used) and writes it again, with
/// fields changed where there is a seed. What a changed field asks for beyond the record's end is made up.
/// </summary>
internal sealed class OasisTape(byte[] bytes, int start, ulong? seed = null)
{
    private const int LongestList = 64;

    private static readonly ulong[] Extremes = [0, 1, 2, 3, 4, 15, 100, 1 << 14, 1u << 31, (1u << 31) - 1, 1ul << 32, (1ul << 62) + 1, long.MaxValue, ulong.MaxValue];

    private Dice dice = Dice.For((int)(seed ?? 0), "oasis", (long)((seed ?? 0) >> 32));

    /// <summary>Where the next field is read.</summary>
    public int Position { get; private set; } = start;

    /// <summary>What was written.</summary>
    public List<byte> Output { get; } = [];

    /// <summary>An integer in seven bits a byte, the lowest first.</summary>
    public static byte[] Packed(ulong value) => value < 0x80 ? [(byte)value] : [(byte)(value | 0x80), .. Packed(value >> 7)];

    /// <summary>Passes over a record, or the magic bytes; returns where it ends.</summary>
    public int Record()
    {
        if (bytes.AsSpan(Position).StartsWith("%SEMI-OASIS\r\n"u8))
        {
            Raw(13);
            return Position;
        }

        byte type = Byte(canChange: false);
        byte info = type is (>= 17 and <= 28) or 33 ? Byte() : (byte)0;
        bool Has(int bit) => (info & bit) != 0;
        switch (type)
        {
            case 1:
                Text();
                Real();
                Many(Unsigned() == 0 ? 12 : 0);
                break;
            case 2:
                Text();
                Raw(Unsigned() is 1 or 2 ? 4 : 0);
                break;
            case 3 or 5 or 7 or 9 or 14:
                Text();
                break;
            case 4 or 6 or 8 or 10:
                Text();
                Unsigned();
                break;
            case 11 or 12:
                Text();
                Interval();
                Interval();
                break;
            case 13:
                Unsigned();
                break;
            case 17 or 18:
                Reference(Has(0x80), Has(0x40));
                Real(type == 18 && Has(4));
                Real(type == 18 && Has(2));
                Place(Has(0x20), Has(0x10), Has(8));
                break;
            case 19:
                Reference(Has(0x40), Has(0x20));
                Many(Count(info, 1, 2));
                Place(Has(0x10), Has(8), Has(4));
                break;
            case >= 20 and <= 27:
                Geometry(type, info);
                break;
            case 28:
                Reference(Has(4), Has(2));
                Values(info);
                break;
            case 30 or 32:
                Unsigned();
                Text();
                break;
            case 31:
                Unsigned();
                Text();
                Unsigned();
                break;
            case 33:
                Unsigned();
                Many(Count(info, 1, 2));
                Text();
                Place(Has(0x10), Has(8), Has(4));
                break;
            case 34:
                Many(2);
                Text();
                break;
            default:
                break;
        }

        return Position;
    }

    /// <summary>Passes over an integer; returns it as written.</summary>
    public ulong Unsigned()
    {
        ulong value = 0;
        bool isThere = Position < bytes.Length;
        for (int shift = 0; Position < bytes.Length; shift += 7)
        {
            byte part = bytes[Position++];
            value |= shift < 64 ? (ulong)(part & 0x7F) << shift : 0;
            if (part < 0x80)
            {
                break;
            }
        }

        if (seed is not null && (!isThere || dice.Chance(8)))
        {
            value = dice.Below(4) switch
            {
                0 => dice.OneOf(Extremes),
                1 => value + (ulong)dice.Below(5) - 2,
                _ => (ulong)dice.Below(1 << dice.Below(12)),
            };
        }

        Output.AddRange(Packed(value));
        return value;
    }

    private static int Count(byte info, params ReadOnlySpan<int> bits)
    {
        int count = 0;
        foreach (int bit in bits)
        {
            count += (info & bit) != 0 ? 1 : 0;
        }

        return count;
    }

    private void Geometry(byte type, byte info)
    {
        bool isList = type is 21 or 22;
        Many(Count(info, 1, 2));
        Many(type is 26 ? Count(info, 0x80) : 0);
        Many(type is 21 ? 0 : type is 27 ? Count(info, 0x20) : Count(info, 0x40) + (isList ? 0 : Count(info, 0x20)));
        if (type == 22 && (info & 0x80) != 0)
        {
            ulong scheme = Unsigned();
            Many(((scheme & 12) == 12 ? 1 : 0) + ((scheme & 3) == 3 ? 1 : 0));
        }

        if (isList && (info & 0x20) != 0)
        {
            bool isGeneral = Unsigned() >= 4;
            Several(Unsigned(), isGeneral);
        }

        Many(type is 23 ? 2 : type is 24 or 25 ? 1 : 0);
        Place((info & 0x10) != 0, (info & 8) != 0, (info & 4) != 0);
    }

    private void Place(bool hasX, bool hasY, bool isRepeated)
    {
        Many((hasX ? 1 : 0) + (hasY ? 1 : 0));
        ulong kind = isRepeated ? Unsigned() : 0;
        switch (kind)
        {
            case 1:
                Many(4);
                break;
            case 2 or 3:
                Many(2);
                break;
            case 4 or 6:
                Several(Unsigned() + 1, isGeneral: false);
                break;
            case 5 or 7:
                Several(Unsigned() + 2, isGeneral: false);
                break;
            case 8:
                Many(2);
                Several(2, isGeneral: true);
                break;
            case 9:
                Unsigned();
                Several(1, isGeneral: true);
                break;
            case 10:
                Several(Unsigned() + 1, isGeneral: true);
                break;
            case 11:
                ulong count = Unsigned();
                Unsigned();
                Several(count + 1, isGeneral: true);
                break;
            default:
                break;
        }
    }

    private void Values(byte info)
    {
        int count = (info & 8) != 0 ? 0 : info >> 4;
        ulong values = count == 15 ? Unsigned() : (ulong)count;
        for (ulong i = 0; i < Math.Min(values, LongestList); i++)
        {
            ulong type = Unsigned();
            switch (type)
            {
                case <= 7:
                    Number(type);
                    break;
                case 10 or 11 or 12:
                    Text();
                    break;
                default:
                    Unsigned();
                    break;
            }
        }
    }

    private void Several(ulong count, bool isGeneral)
    {
        for (ulong i = 0; i < Math.Min(count, LongestList); i++)
        {
            Many(isGeneral && (Unsigned() & 1) == 0 ? 0 : 1);
        }
    }

    private void Many(int count)
    {
        for (; count > 0; count--)
        {
            Unsigned();
        }
    }

    private void Interval()
    {
        ulong type = Unsigned();
        Many(type == 4 ? 2 : type == 0 ? 0 : 1);
    }

    private void Reference(bool isThere, bool isNumber)
    {
        if (isThere && isNumber)
        {
            Unsigned();
        }
        else if (isThere)
        {
            Text();
        }
    }

    private void Real(bool isThere = true)
    {
        if (isThere)
        {
            Number(Unsigned());
        }
    }

    private void Number(ulong type)
    {
        Many(type is <= 3 ? 1 : type is 4 or 5 ? 2 : 0);
        Raw(type is 6 ? 4 : type is 7 ? 8 : 0);
    }

    private void Text() => Raw((int)Math.Min(Unsigned(), int.MaxValue));

    private void Raw(int count)
    {
        int there = Math.Clamp(count, 0, bytes.Length - Position);
        Output.AddRange(bytes.AsSpan(Position, there));
        Output.AddRange(new byte[seed is null ? 0 : Math.Clamp(count - there, 0, LongestList)]);
        Position += there;
    }

    private byte Byte(bool canChange = true)
    {
        byte value = Position < bytes.Length ? bytes[Position++] : (byte)(seed is null ? 0 : dice.Next());
        value = canChange && seed is not null && dice.Chance(3) ? (byte)(value ^ (1 << dice.Below(8))) : value;
        Output.Add(value);
        return value;
    }
}
