using System.Buffers.Binary;
using PatternCompiler.Fuzz.Running;

namespace PatternCompiler.Fuzz.Mutation;

/// <summary>Changes of files made of records: a whole record goes, comes again, moves, comes from elsewhere, or changes inside.</summary>
/// <param name="cut">Where the record that begins at a place ends; a place not behind it where no record can be told.</param>
/// <param name="fix">Writes the length of a record's new content into the record.</param>
internal sealed class RecordMutations(Func<byte[], int, int> cut, Action<byte[]>? fix = null)
{
    /// <summary>GDSII: two bytes of length, big-endian, which count themselves.</summary>
    public static readonly RecordMutations Gdsii = new(
        (bytes, start) => start + 4 <= bytes.Length ? start + BinaryPrimitives.ReadUInt16BigEndian(bytes.AsSpan(start)) : 0,
        record => BinaryPrimitives.WriteUInt16BigEndian(record, (ushort)record.Length));

    /// <summary>All of them, together with those that know nothing of records.</summary>
    public Mutate[] All => [Remove, Repeat, Splice, Swap, Inside, Inside, Inside, Inside, .. ByteMutations.All];

    /// <summary>The records of a file, at least one.</summary>
    public List<byte[]> Split(byte[] input)
    {
        List<byte[]> records = [];
        for (int start = 0; start < input.Length;)
        {
            int end = cut(input, start);
            end = end > start && end <= input.Length ? end : input.Length;
            records.Add(input[start..end]);
            start = end;
        }

        return records.Count > 0 ? records : [[]];
    }

    private byte[] Remove(byte[] input, FuzzTarget target, ref Dice dice)
    {
        List<byte[]> records = Split(input);
        records.RemoveAt(dice.Below(records.Count));
        return [.. records.SelectMany(record => record)];
    }

    private byte[] Repeat(byte[] input, FuzzTarget target, ref Dice dice)
    {
        List<byte[]> records = Split(input);
        int start = dice.Below(records.Count);
        int count = Math.Min(records.Count - start, 1 + dice.Below(8));
        for (int times = dice.Chance(8) ? dice.Below(50) : 1; times > 0; times--)
        {
            records.InsertRange(start, records.GetRange(start, count));
        }

        return [.. records.SelectMany(record => record)];
    }

    private byte[] Splice(byte[] input, FuzzTarget target, ref Dice dice)
    {
        List<byte[]> records = Split(input);
        List<byte[]> others = Split(dice.OneOf(target.Seeds));
        int start = dice.Below(others.Count);
        records.InsertRange(dice.Below(records.Count), others.GetRange(start, Math.Min(others.Count - start, 1 + dice.Below(10))));
        return [.. records.SelectMany(record => record)];
    }

    private byte[] Swap(byte[] input, FuzzTarget target, ref Dice dice)
    {
        List<byte[]> records = Split(input);
        int one = dice.Below(records.Count);
        int other = dice.Below(records.Count);
        (records[one], records[other]) = (records[other], records[one]);
        return [.. records.SelectMany(record => record)];
    }

    private byte[] Inside(byte[] input, FuzzTarget target, ref Dice dice)
    {
        List<byte[]> records = Split(input);
        int chosen = dice.Below(records.Count);
        byte[] record = dice.OneOf(ByteMutations.All)(records[chosen], target, ref dice);
        if (record.Length >= 4 && record.Length != records[chosen].Length)
        {
            fix?.Invoke(record);
        }

        records[chosen] = record;
        return [.. records.SelectMany(part => part)];
    }
}
