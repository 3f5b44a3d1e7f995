using System.Text;
using System.Text.Unicode;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Model.Carriers;

/// <summary>
/// Where bytes become text: the one place that refuses what is no UTF-8 and names the byte. Text that is shown in the
/// place of what was written would move the columns of every later message, and with them what is read.
/// </summary>
internal static class Utf8Text
{
    /// <summary>Reads a whole text; null if it has more than <paramref name="longest"/> bytes.</summary>
    /// <param name="source">Where it comes from; stays open.</param>
    /// <param name="name">Name for messages.</param>
    /// <param name="longest">Bytes that are accepted.</param>
    /// <exception cref="CompileException">A byte does not belong to a text.</exception>
    public static string? Read(Stream source, string? name, int longest)
    {
        using var bytes = new MemoryStream();
        byte[] part = new byte[1 << 14];
        while (bytes.Length <= longest && source.Read(part) is int count and > 0)
        {
            bytes.Write(part, 0, count);
        }

        return bytes.Length > longest ? null : Decode(bytes.GetBuffer().AsSpan(0, (int)bytes.Length), name);
    }

    /// <summary>Refuses a line, or a whole text, that is not UTF-8.</summary>
    /// <param name="bytes">The line.</param>
    /// <param name="name">Name of the document for messages.</param>
    /// <param name="line">1-based number of the line.</param>
    /// <param name="offset">Bytes of the document before the line.</param>
    public static void Require(ReadOnlySpan<byte> bytes, string? name, int line, long offset)
    {
        if (Utf8.IsValid(bytes))
        {
            return;
        }

        int bad = FirstFault(bytes);
        ReadOnlySpan<byte> before = bytes[..bad];
        int lineStart = before.LastIndexOf((byte)'\n') + 1;
        int lineLength = bytes[lineStart..].IndexOf((byte)'\n');
        throw new CompileException(
            DocumentCodes.NotUtf8,
            $"byte {offset + bad + 1} is {bytes[bad]:X2} hex, which is no UTF-8 text at this place",
            new SourcePlace(name, line + before.Count((byte)'\n'), 1 + Encoding.UTF8.GetCharCount(before[lineStart..])),
            "save the file as UTF-8, or check that it is the right file",
            Encoding.UTF8.GetString(lineLength < 0 ? bytes[lineStart..] : bytes.Slice(lineStart, lineLength)));
    }

    private static string Decode(ReadOnlySpan<byte> bytes, string? name)
    {
        // Two bytes a character, told by the byte-order mark that some editors and spreadsheets write.
        if (bytes.StartsWith<byte>([0xFF, 0xFE]) || bytes.StartsWith<byte>([0xFE, 0xFF]))
        {
            return (bytes[0] == 0xFF ? Encoding.Unicode : Encoding.BigEndianUnicode).GetString(bytes[2..]);
        }

        ReadOnlySpan<byte> text = bytes.StartsWith("\uFEFF"u8) ? bytes[3..] : bytes;
        Require(text, name, 1, bytes.Length - text.Length);
        return Encoding.UTF8.GetString(text);
    }

    private static int FirstFault(ReadOnlySpan<byte> bytes)
    {
        int position = 0;
        while (Rune.DecodeFromUtf8(bytes[position..], out _, out int used) == System.Buffers.OperationStatus.Done)
        {
            position += used;
        }

        return position;
    }
}
