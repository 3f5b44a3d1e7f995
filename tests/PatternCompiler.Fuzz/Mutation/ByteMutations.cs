using System.Buffers.Binary;
using PatternCompiler.Fuzz.Running;

namespace PatternCompiler.Fuzz.Mutation;

/// <summary>Changes that need to know nothing of a format.</summary>
internal static class ByteMutations
{
    private static readonly long[] Extremes =
    [
        0, 1, -1, 2, 0x7F, 0x80, 0xFF, 0x100, 0x7FFF, 0x8000, 0xFFFF, 0x10000, 0x7FFF_FFFF, 0x8000_0000, 0xFFFF_FFFF,
        0x1_0000_0000, 1 << 30, -(1 << 30), long.MaxValue, long.MinValue, 0x7FF0_0000_0000_0000, 0x7FF8_0000_0000_0000, 0x3FF0_0000_0000_0000,
    ];

    /// <summary>All of them.</summary>
    public static readonly Mutate[] All = [Flip, Set, Remove, Repeat, Move, Splice, Truncate, Integer];

    private static byte[] Flip(byte[] input, FuzzTarget target, ref Dice dice)
    {
        byte[] output = [.. input];
        if (output.Length > 0)
        {
            output[dice.Below(output.Length)] ^= (byte)(1 << dice.Below(8));
        }

        return output;
    }

    private static byte[] Set(byte[] input, FuzzTarget target, ref Dice dice)
    {
        byte[] output = [.. input];
        if (output.Length > 0)
        {
            output[dice.Below(output.Length)] = (byte)dice.Next();
        }

        return output;
    }

    private static byte[] Remove(byte[] input, FuzzTarget target, ref Dice dice)
    {
        (int start, int length) = Part(input, ref dice);
        return [.. input[..start], .. input[(start + length)..]];
    }

    private static byte[] Repeat(byte[] input, FuzzTarget target, ref Dice dice)
    {
        (int start, int length) = Part(input, ref dice);
        int times = dice.Chance(8) ? 1 + dice.Below(200) : 1;
        times = Math.Min(times, target.LongestInput / Math.Max(1, length));
        return [.. input[..start], .. Enumerable.Repeat(input[start..(start + length)], times).SelectMany(part => part), .. input[start..]];
    }

    private static byte[] Move(byte[] input, FuzzTarget target, ref Dice dice)
    {
        (int start, int length) = Part(input, ref dice);
        int place = dice.Below(input.Length + 1);
        return [.. input[..place], .. input[start..(start + length)], .. input[place..]];
    }

    private static byte[] Splice(byte[] input, FuzzTarget target, ref Dice dice)
    {
        byte[] other = dice.OneOf(target.Seeds);
        (int start, int length) = Part(other, ref dice);
        int place = dice.Below(input.Length + 1);
        return [.. input[..place], .. other[start..(start + length)], .. input[(dice.Chance(2) ? place : Math.Min(input.Length, place + length))..]];
    }

    private static byte[] Truncate(byte[] input, FuzzTarget target, ref Dice dice) =>
        dice.Chance(4) ? input[..dice.Below(input.Length + 1)] : input;

    private static byte[] Integer(byte[] input, FuzzTarget target, ref Dice dice)
    {
        byte[] output = [.. input];
        int width = 1 << dice.Below(4);
        if (output.Length < width)
        {
            return output;
        }

        Span<byte> place = output.AsSpan(dice.Below(output.Length - width + 1), width);
        Span<byte> value = stackalloc byte[sizeof(long)];
        BinaryPrimitives.WriteInt64LittleEndian(value, dice.OneOf(Extremes) + dice.Below(3) - 1);
        value[..width].CopyTo(place);
        if (dice.Chance(2))
        {
            place.Reverse();
        }

        return output;
    }

    private static (int Start, int Length) Part(byte[] input, ref Dice dice)
    {
        int start = dice.Below(input.Length);
        int length = Math.Min(input.Length - start, 1 + dice.Below(1 << dice.Below(8)));
        return (start, length);
    }
}
