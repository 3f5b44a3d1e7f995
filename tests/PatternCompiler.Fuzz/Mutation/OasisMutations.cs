using System.IO.Compression;
using PatternCompiler.Fuzz.Running;

namespace PatternCompiler.Fuzz.Mutation;

/// <summary>Changes of OASIS files that leave them in step: fields within a record, bits that bring fields or drop them, compressed blocks.</summary>
internal static class OasisMutations
{
    private const int CompressedBlock = 34;

    private static readonly RecordMutations Records = new((bytes, start) => new OasisTape(bytes, start).Record());

    /// <summary>All of them, together with those of records and bytes.</summary>
    public static readonly Mutate[] All = [Fields, Fields, Fields, Fields, Invent, Invent, Pack, Unpack, .. Records.All];

    /// <summary>Writes one record again with fields changed.</summary>
    private static byte[] Fields(byte[] input, FuzzTarget target, ref Dice dice)
    {
        List<byte[]> records = Records.Split(input);
        int chosen = dice.Below(records.Count);
        records[chosen] = Written(records[chosen], dice.Next());
        return Joined(records);
    }

    /// <summary>Puts in a record of any type that is made up.</summary>
    private static byte[] Invent(byte[] input, FuzzTarget target, ref Dice dice)
    {
        List<byte[]> records = Records.Split(input);
        byte type = (byte)(dice.Chance(4) ? dice.Below(CompressedBlock) : 17 + dice.Below(13));
        records.Insert(Math.Min(records.Count, 2 + dice.Below(records.Count)), Written([type], dice.Next()));
        return Joined(records);
    }

    private static byte[] Pack(byte[] input, FuzzTarget target, ref Dice dice)
    {
        List<byte[]> records = Records.Split(input);
        int start = Math.Min(records.Count - 1, 2 + dice.Below(records.Count));
        int count = Math.Min(records.Count - start, 1 + dice.Below(5));
        byte[] content = Joined(records.GetRange(start, count));
        using var packed = new MemoryStream();
        using (var deflate = new DeflateStream(packed, CompressionLevel.Fastest, leaveOpen: true))
        {
            deflate.Write(content);
        }

        records.RemoveRange(start, count);
        records.Insert(start, [CompressedBlock, 0, .. OasisTape.Packed((ulong)content.Length), .. OasisTape.Packed((ulong)packed.Length), .. packed.ToArray()]);
        return Joined(records);
    }

    private static byte[] Unpack(byte[] input, FuzzTarget target, ref Dice dice)
    {
        List<byte[]> records = Records.Split(input);
        int chosen = records.FindIndex(record => record is [CompressedBlock, ..]);
        if (chosen < 0)
        {
            return input;
        }

        var tape = new OasisTape(records[chosen], 1);
        _ = (tape.Unsigned(), tape.Unsigned(), tape.Unsigned());
        try
        {
            using var packed = new DeflateStream(new MemoryStream(records[chosen][tape.Position..]), CompressionMode.Decompress);
            byte[] content = new byte[target.LongestInput];
            records[chosen] = content[..packed.ReadAtLeast(content, content.Length, throwOnEndOfStream: false)];
        }
        catch (InvalidDataException)
        {
            records.RemoveAt(chosen);
        }

        return Joined(records);
    }

    private static byte[] Written(byte[] record, ulong seed)
    {
        var tape = new OasisTape(record, 0, seed);
        tape.Record();
        return [.. tape.Output];
    }

    private static byte[] Joined(List<byte[]> records) => [.. records.SelectMany(record => record)];
}
