using System.Text;
using System.Text.Unicode;
using PatternCompiler.FrontEnds.Dxf;
using PatternCompiler.FrontEnds.Oasis;

namespace PatternCompiler.FrontEnds;

/// <summary>Tells kinds of drawings apart by their first bytes, and names what is none.</summary>
internal static class DrawingRecognition
{
    /// <summary>As many bytes as recognition looks at.</summary>
    public const int HeadLength = 1024;

    /// <summary>What the drawing reader accepts, for messages.</summary>
    public const string Accepted = "a text layout (first line 'layout 1'), a DXF or SVG drawing, a GDSII stream, an OASIS file or a PNG picture";

    /// <summary>The kind of a file by its first bytes (all of them if it is shorter than <see cref="HeadLength"/>).</summary>
    public static DrawingKind KindOf(ReadOnlySpan<byte> head)
    {
        ReadOnlySpan<byte> text = WithoutByteOrderMark(head);
        if (text.StartsWith("layout"u8) && (text.Length == 6 || text[6] is (byte)' ' or (byte)'\t' or (byte)'\r' or (byte)'\n'))
        {
            return DrawingKind.TextLayout;
        }

        // The record that opens every GDSII stream: six bytes long, type HEADER, two-byte integers.
        if (head.StartsWith((ReadOnlySpan<byte>)[0x00, 0x06, 0x00, 0x02]))
        {
            return DrawingKind.Gdsii;
        }

        if (head.StartsWith(OasisReader.Magic))
        {
            return DrawingKind.Oasis;
        }

        if (head.StartsWith((ReadOnlySpan<byte>)[0x89, (byte)'P', (byte)'N', (byte)'G', 0x0D, 0x0A, 0x1A, 0x0A]))
        {
            return DrawingKind.Png;
        }

        if (StartsWithXml(text))
        {
            return DrawingKind.Svg;
        }

        return head.StartsWith(DxfFormat.BinarySentinel) || StartsWithGroupCode(text) ? DrawingKind.Dxf : DrawingKind.Other;
    }

    /// <summary>Names something that is no drawing.</summary>
    public static string Describe(ReadOnlySpan<byte> head)
    {
        ReadOnlySpan<byte> text = WithoutByteOrderMark(head);
        return head switch
        {
            _ when head.StartsWith((ReadOnlySpan<byte>)[0x89, (byte)'P', (byte)'N', (byte)'G']) => "a damaged PNG picture",
            _ when head.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xD8, 0xFF]) => "a JPEG picture",
            _ when head.StartsWith("GIF8"u8) => "a GIF picture",
            _ when head.StartsWith("BM"u8) && !Utf8.IsValid(Complete(head)) => "a BMP picture",
            _ when head.StartsWith("II*\0"u8) || head.StartsWith("MM\0*"u8) => "a TIFF picture",
            _ when head.StartsWith("%PDF"u8) => "a PDF document",
            _ when head.StartsWith("PK\u0003\u0004"u8) => "a ZIP archive",
            _ when head.StartsWith((ReadOnlySpan<byte>)[0x1F, 0x8B]) => "a gzip file",
            _ when head.StartsWith("%SEMI-OASIS"u8) => "a damaged OASIS file",
            _ when head.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xFE]) || head.StartsWith((ReadOnlySpan<byte>)[0xFE, 0xFF]) => "UTF-16 text (save it as UTF-8)",
            _ when text.TrimStart(" \t\r\n"u8).StartsWith("<"u8) => "an HTML document",
            _ when head.Contains((byte)0) || !Utf8.IsValid(Complete(head)) => "binary data of an unknown kind",
            _ => "text of an unknown kind",
        };
    }

    /// <summary>True for text that opens with a DXF group code, 0 (a section) or 999 (a comment), alone in its line.</summary>
    private static bool StartsWithGroupCode(ReadOnlySpan<byte> text)
    {
        int end = text.IndexOfAny((byte)'\n', (byte)'\r');
        if (end < 0)
        {
            return false;
        }

        ReadOnlySpan<byte> first = text[..end].Trim(" \t"u8);
        return first.SequenceEqual("0"u8) || first.SequenceEqual("999"u8);
    }

    /// <summary>True for XML that is not HTML at first sight, also in UTF-16.</summary>
    private static bool StartsWithXml(ReadOnlySpan<byte> text)
    {
        if (text.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xFE, (byte)'<', 0]) || text.StartsWith((ReadOnlySpan<byte>)[0xFE, 0xFF, 0, (byte)'<']))
        {
            return true;
        }

        ReadOnlySpan<byte> start = text.TrimStart(" \t\r\n"u8);
        bool isHtml = Ascii.EqualsIgnoreCase(start[..Math.Min(start.Length, 14)], "<!doctype html"u8)
            || Ascii.EqualsIgnoreCase(start[..Math.Min(start.Length, 5)], "<html"u8);
        return start.StartsWith("<"u8) && !isHtml;
    }

    private static ReadOnlySpan<byte> WithoutByteOrderMark(ReadOnlySpan<byte> head) => head.StartsWith("\uFEFF"u8) ? head[3..] : head;

    /// <summary>Leaves out a character that the end of the head may cut in two.</summary>
    private static ReadOnlySpan<byte> Complete(ReadOnlySpan<byte> head) => head.Length < HeadLength ? head : head[..LastStart(head)];

    private static int LastStart(ReadOnlySpan<byte> head)
    {
        int position = head.Length - 1;
        while (position > head.Length - 4 && (head[position] & 0xC0) == 0x80)
        {
            position--;
        }

        return position;
    }
}
