using System.Buffers;
using System.Text;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Files;

/// <summary>
/// Names of files as text. On Linux a name is bytes, usually UTF-8 but not always; the runtime turns each byte that is not into the
/// same mark, and the file is lost. Here such a byte becomes an unpaired surrogate of its own, which no valid text has, so that a
/// name can be cut, joined and compared as text and still leads to its file.
/// </summary>
internal static class FileName
{
    /// <summary>The text of a name.</summary>
    public static string Decode(ReadOnlySpan<byte> name)
    {
        var text = new StringBuilder(name.Length);
        Span<char> units = stackalloc char[2];
        while (name.Length > 0)
        {
            if (Rune.DecodeFromUtf8(name, out Rune character, out int length) == OperationStatus.Done)
            {
                text.Append(units[..character.EncodeToUtf16(units)]);
            }
            else
            {
                foreach (byte lone in name[..length])
                {
                    text.Append((char)(PrintedText.LoneByteBase + lone));
                }
            }

            name = name[length..];
        }

        return text.ToString();
    }

    /// <summary>The bytes of a name, or of a text that holds names.</summary>
    public static byte[] Encode(string name)
    {
        if (!HasLoneBytes(name))
        {
            return Encoding.UTF8.GetBytes(name);
        }

        var bytes = new List<byte>(name.Length);
        Span<byte> units = stackalloc byte[4];
        for (int i = 0; i < name.Length;)
        {
            if (Rune.TryGetRuneAt(name, i, out Rune character))
            {
                bytes.AddRange(units[..character.EncodeToUtf8(units)]);
                i += character.Utf16SequenceLength;
            }
            else if (PrintedText.IsLoneByte(name[i]))
            {
                bytes.Add((byte)(name[i++] - PrintedText.LoneByteBase));
            }
            else
            {
                bytes.AddRange(units[..Rune.ReplacementChar.EncodeToUtf8(units)]);
                i++;
            }
        }

        return [.. bytes];
    }

    /// <summary>
    /// A name as JSON can hold it: JSON has escapes of its own for all that would act on a terminal, but none for bytes that are no
    /// characters, so a name that has some is written as <see cref="PrintedText"/> prints it.
    /// </summary>
    public static string ForJson(string name) => HasLoneBytes(name) ? PrintedText.Of(name) : name;

    /// <summary>True if a name is not UTF-8, so that the runtime's own functions would miss its file.</summary>
    public static bool HasLoneBytes(string name)
    {
        for (int i = name.AsSpan().IndexOfAnyInRange('\uD800', '\uDFFF'); i >= 0 && i < name.Length; i++)
        {
            if (char.IsHighSurrogate(name[i]) && i + 1 < name.Length && char.IsLowSurrogate(name[i + 1]))
            {
                i++;
            }
            else if (PrintedText.IsLoneByte(name[i]))
            {
                return true;
            }
        }

        return false;
    }
}
