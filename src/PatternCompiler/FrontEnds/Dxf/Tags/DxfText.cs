using System.Globalization;
using System.Text;

namespace PatternCompiler.FrontEnds.Dxf.Tags;

/// <summary>Decodes names and strings: the file's encoding, and the escapes \U+XXXX for characters outside it.</summary>
internal static class DxfText
{
    private static readonly UTF8Encoding StrictUtf8 = new(false, true);

    /// <summary>Text of a value. Bytes that are not valid UTF-8 are read as Latin-1, so that no name is lost.</summary>
    public static string Decode(ReadOnlySpan<byte> value, Encoding encoding)
    {
        string text;
        if (System.Text.Ascii.IsValid(value))
        {
            text = Encoding.ASCII.GetString(value);
        }
        else if (encoding is UTF8Encoding)
        {
            try
            {
                text = StrictUtf8.GetString(value);
            }
            catch (DecoderFallbackException)
            {
                text = Encoding.Latin1.GetString(value);
            }
        }
        else
        {
            text = encoding.GetString(value);
        }

        return text.Contains("\\U+", StringComparison.Ordinal) ? Unescape(text) : text;
    }

    private static string Unescape(string text)
    {
        var result = new StringBuilder(text.Length);
        for (int i = 0; i < text.Length; i++)
        {
            if (i + 7 <= text.Length && text.AsSpan(i, 3).SequenceEqual("\\U+")
                && ushort.TryParse(text.AsSpan(i + 3, 4), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out ushort unit))
            {
                result.Append((char)unit);
                i += 6;
            }
            else
            {
                result.Append(text[i]);
            }
        }

        return result.ToString();
    }
}
