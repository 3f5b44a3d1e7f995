using System.Globalization;
using System.Text;

namespace PatternCompiler.Diagnostics;

/// <summary>
/// The one way in which text that comes from a file or a command line reaches people: a terminal, a message, a page, a picture.
/// Whatever would act instead of being seen is escaped: control characters, line breaks, invisible format characters (those
/// that turn the direction of reading among them) and what is no character at all. What is printed can be read back without
/// doubt: <c>\u{1B}</c> stands for a character by its number, <c>\x{FF}</c> for a byte of a file name that is not UTF-8, and a
/// backslash that would look like the start of one is itself escaped; every other character stands for itself.
/// </summary>
internal static class PrintedText
{
    /// <summary>A byte that belongs to no character is held as the unpaired surrogate of this number and its own.</summary>
    internal const int LoneByteBase = 0xDC00;

    /// <summary>The text with everything escaped that must be.</summary>
    public static string Of(string text)
    {
        int first = FirstEscaped(text);
        if (first == text.Length)
        {
            return text;
        }

        var printed = new StringBuilder(text, 0, first, text.Length + 16);
        for (int i = first; i < text.Length;)
        {
            int length = Next(text, i, out bool isEscaped, out int value);
            if (!isEscaped)
            {
                printed.Append(text, i, length);
            }
            else if (IsLoneByte(value))
            {
                printed.Append(CultureInfo.InvariantCulture, $"\\x{{{value - LoneByteBase:X2}}}");
            }
            else
            {
                printed.Append(CultureInfo.InvariantCulture, $"\\u{{{value:X}}}");
            }

            i += length;
        }

        return printed.ToString();
    }

    /// <summary>The text escaped, with its middle left out where it is longer than so many characters.</summary>
    public static string Of(string text, int longest) => Of(Cut(text, longest));

    /// <summary>The text, or its beginning and its end with the number of characters between them.</summary>
    public static string Cut(string text, int longest)
    {
        if (text.Length <= longest)
        {
            return text;
        }

        // No character of two units is cut in half.
        int head = longest * 2 / 3;
        head -= head > 0 && char.IsHighSurrogate(text[head - 1]) ? 1 : 0;
        int tail = text.Length - longest / 3;
        tail += tail < text.Length && char.IsLowSurrogate(text[tail]) && char.IsHighSurrogate(text[tail - 1]) ? 1 : 0;
        return string.Create(CultureInfo.InvariantCulture, $"{text.AsSpan(0, head)}…({tail - head} characters)…{text.AsSpan(tail)}");
    }

    /// <summary>True for an unpaired surrogate that holds a byte of a file name.</summary>
    internal static bool IsLoneByte(int unit) => unit is >= LoneByteBase + 0x80 and <= LoneByteBase + 0xFF;

    private static int FirstEscaped(string text)
    {
        int i = 0;
        while (i < text.Length)
        {
            int length = Next(text, i, out bool isEscaped, out _);
            if (isEscaped)
            {
                return i;
            }

            i += length;
        }

        return i;
    }

    /// <summary>Looks at the character that begins at <paramref name="start"/> and returns how many units it takes.</summary>
    private static int Next(string text, int start, out bool isEscaped, out int value)
    {
        char first = text[start];
        value = first;
        if (first is >= ' ' and < '\x7F')
        {
            isEscaped = first == '\\' && LooksLikeEscape(text, start);
            return 1;
        }

        if (!Rune.TryGetRuneAt(text, start, out Rune character))
        {
            isEscaped = true;
            return 1;
        }

        value = character.Value;
        isEscaped = Rune.GetUnicodeCategory(character)
            is UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator;
        return character.Utf16SequenceLength;
    }

    private static bool LooksLikeEscape(string text, int backslash) =>
        backslash + 2 < text.Length && text[backslash + 1] is 'u' or 'x' && text[backslash + 2] == '{';
}
