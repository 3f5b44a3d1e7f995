using System.Buffers;
using System.Text;
using PatternCompiler.Fuzz.Running;

namespace PatternCompiler.Fuzz.Mutation;

/// <summary>Changes of texts: their numbers, words and lines.</summary>
internal static class TextMutations
{
    private static readonly SearchValues<byte> NumberBytes = SearchValues.Create("0123456789.eE+-"u8);
    private static readonly SearchValues<byte> Breaks = SearchValues.Create(" \t\r\n,;:=()[]{}<>\"'/#*"u8);

    private static readonly string[] Numbers =
    [
        "0", "1", "-1", "2", "0.5", "-0", "00", "1e308", "-1e308", "1e-308", "1e30", "1e999", "NaN", "Infinity", "1e", "0.0000000001", "1e15", "1e9",
        "255", "256", "1024", "65535", "65536", "1073741823", "1073741824", "1073741825", "2147483647", "2147483648", "-2147483649",
        "4294967296", "9007199254740993", "9223372036854775807", "9223372036854775808", "-9223372036854775808", "18446744073709551616",
        "123456789012345678901234567890", "3.14159265358979", "45", "90", "180", "360", "1000000", "100000",
    ];

    private static readonly string[] Marks =
    [
        "[", "]", "{", "}", "(", ")", ",", ":", ": ", ";", "\"", "'", "\n", "\r\n", "\r", "\t", " ", "- ", "#", "\\", "/", "*", "&a ", "*a", "|", ">", "<", "<!--", "%", "\0",
        "é", "\u2028", "\uFEFF", "\u202E", "\u001B", "=", "@", "!", "?", "~", "null", "_", "$", "..", "---",
    ];

    /// <summary>For texts whose lines mean something.</summary>
    public static readonly Mutate[] All = [Number, Number, Number, Nudge, Nudge, Word, Word, Mark, RemoveLines, RepeatLines, SwapLines, SpliceLines, .. ByteMutations.All];

    /// <summary>For texts in pairs of lines, as DXF has them.</summary>
    public static readonly Mutate[] Pairs = [.. All, RemovePair, RepeatPair, RemovePair, RepeatPair, SplicePair, SplicePair];

    /// <summary>Another number of any size in the place of one.</summary>
    private static byte[] Number(byte[] input, FuzzTarget target, ref Dice dice) =>
        FindNumber(input, ref dice) is { } at ? Replaced(input, at, Encoding.ASCII.GetBytes(dice.OneOf(Numbers))) : input;

    /// <summary>A number changed a little: another digit, a sign, a power of ten.</summary>
    private static byte[] Nudge(byte[] input, FuzzTarget target, ref Dice dice)
    {
        if (FindNumber(input, ref dice) is not { } at)
        {
            return input;
        }

        string number = Encoding.ASCII.GetString(input, at.Start, at.Length);
        int digit = dice.Below(number.Length);
        return Replaced(input, at, Encoding.ASCII.GetBytes(dice.Below(6) switch
        {
            0 => "-" + number,
            1 => number + "0",
            2 => number.Length > 1 ? number.Remove(digit, 1) : number,
            3 => number + "." + dice.Below(1000),
            4 => number.TrimStart('-'),
            _ => number[..digit] + (char)('0' + dice.Below(10)) + number[(digit + 1)..],
        }));
    }

    /// <summary>Another word of the format, or of this or another text, in the place of one.</summary>
    private static byte[] Word(byte[] input, FuzzTarget target, ref Dice dice)
    {
        byte[] source = dice.Chance(2) ? input : dice.OneOf(target.Seeds);
        byte[] word = target.Words.Count > 0 && dice.Chance(2) ? dice.OneOf(target.Words) : source.AsSpan(WordAt(source, ref dice)).ToArray();
        Range place = WordAt(input, ref dice);
        return [.. input[..place.Start], .. word, .. input[(dice.Chance(4) ? place.Start : place.End)..]];
    }

    private static byte[] Mark(byte[] input, FuzzTarget target, ref Dice dice)
    {
        int place = dice.Below(input.Length + 1);
        return [.. input[..place], .. Encoding.UTF8.GetBytes(dice.OneOf(Marks)), .. input[(dice.Chance(2) ? place : Math.Min(input.Length, place + 1))..]];
    }

    private static byte[] RemoveLines(byte[] input, FuzzTarget target, ref Dice dice) => Without(input, LinesAt(input, 1 + dice.Below(3), ref dice));

    private static byte[] RepeatLines(byte[] input, FuzzTarget target, ref Dice dice)
    {
        (int start, int length) = LinesAt(input, 1 + dice.Below(4), ref dice);
        int times = Math.Min(dice.Chance(8) ? 1 + dice.Below(100) : 1, target.LongestInput / Math.Max(1, length));
        return [.. input[..start], .. Enumerable.Repeat(input[start..(start + length)], times).SelectMany(part => part), .. input[start..]];
    }

    private static byte[] SwapLines(byte[] input, FuzzTarget target, ref Dice dice)
    {
        (int start, int length) = LinesAt(input, 1, ref dice);
        byte[] line = input[start..(start + length)];
        byte[] rest = Without(input, (start, length));
        return Inserted(rest, LinesAt(rest, 1, ref dice).Start, line);
    }

    private static byte[] SpliceLines(byte[] input, FuzzTarget target, ref Dice dice)
    {
        byte[] other = dice.OneOf(target.Seeds);
        (int start, int length) = LinesAt(other, 1 + dice.Below(6), ref dice);
        return Inserted(input, LinesAt(input, 1, ref dice).Start, other[start..(start + length)]);
    }

    private static byte[] RemovePair(byte[] input, FuzzTarget target, ref Dice dice) => Without(input, PairsAt(input, 1, ref dice));

    private static byte[] RepeatPair(byte[] input, FuzzTarget target, ref Dice dice)
    {
        (int start, int length) = PairsAt(input, 1 + dice.Below(8), ref dice);
        return Inserted(input, start, input[start..(start + length)]);
    }

    private static byte[] SplicePair(byte[] input, FuzzTarget target, ref Dice dice)
    {
        byte[] other = dice.OneOf(target.Seeds);
        (int start, int length) = PairsAt(other, 1 + dice.Below(20), ref dice);
        return Inserted(input, PairsAt(input, 1, ref dice).Start, other[start..(start + length)]);
    }

    private static byte[] Replaced(byte[] input, (int Start, int Length) at, byte[] by) => [.. input[..at.Start], .. by, .. input[(at.Start + at.Length)..]];

    private static byte[] Without(byte[] input, (int Start, int Length) at) => Replaced(input, at, []);

    private static byte[] Inserted(byte[] input, int place, byte[] what) => [.. input[..place], .. what, .. input[place..]];

    private static (int Start, int Length)? FindNumber(byte[] input, ref Dice dice)
    {
        int from = dice.Below(input.Length);
        int found = input.AsSpan(from).IndexOfAnyInRange((byte)'0', (byte)'9');
        if (found < 0)
        {
            return null;
        }

        int start = from + found;
        while (start > 0 && NumberBytes.Contains(input[start - 1]))
        {
            start--;
        }

        int length = input.AsSpan(start).IndexOfAnyExcept(NumberBytes);
        return (start, length < 0 ? input.Length - start : length);
    }

    private static Range WordAt(byte[] input, ref Dice dice)
    {
        int start = dice.Below(input.Length);
        while (start > 0 && !Breaks.Contains(input[start - 1]))
        {
            start--;
        }

        int length = input.AsSpan(start).IndexOfAny(Breaks);
        return start..(length < 0 ? input.Length : start + length);
    }

    private static (int Start, int Length) LinesAt(byte[] input, int count, ref Dice dice)
    {
        int start = Array.LastIndexOf(input, (byte)'\n', Math.Max(0, dice.Below(input.Length))) + 1;
        return (Math.Min(start, input.Length), LengthOfLines(input, start, count));
    }

    private static (int Start, int Length) PairsAt(byte[] input, int count, ref Dice dice)
    {
        // Pairs count from the beginning of the text.
        int lines = input.AsSpan().Count((byte)'\n') / 2;
        int start = LengthOfLines(input, 0, 2 * dice.Below(lines));
        return (start, LengthOfLines(input, start, 2 * count));
    }

    private static int LengthOfLines(byte[] input, int start, int count)
    {
        int end = start;
        for (int i = 0; i < count && end < input.Length; i++)
        {
            int found = Array.IndexOf(input, (byte)'\n', end);
            end = found < 0 ? input.Length : found + 1;
        }

        return Math.Max(0, end - start);
    }
}
