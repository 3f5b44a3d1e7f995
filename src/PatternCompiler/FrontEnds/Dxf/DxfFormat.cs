using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Dxf.Tags;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Dxf;

/// <summary>Tells the forms of DXF apart by their first bytes, and from other files.</summary>
internal static class DxfFormat
{
    private const string FirstUtf8Version = "AC1021";
    private const int WesternEurope = 1252;

    /// <summary>The 22 bytes that open a binary DXF file, by the DXF Reference: a line of text, Ctrl-Z and NUL.</summary>
    public static ReadOnlySpan<byte> BinarySentinel =>
    [
        0x41, 0x75, 0x74, 0x6f, 0x43, 0x41, 0x44, 0x20, 0x42, 0x69, 0x6e,
        0x61, 0x72, 0x79, 0x20, 0x44, 0x58, 0x46, 0x0d, 0x0a, 0x1a, 0x00,
    ];

    /// <summary>A tag reader for the form that the input has.</summary>
    public static DxfTagReader Open(Stream input, string name)
    {
        byte[] start = new byte[BinarySentinel.Length];
        int length = input.ReadAtLeast(start, start.Length, throwOnEndOfStream: false);
        ReadOnlySpan<byte> bytes = start.AsSpan(0, length);
        if (bytes.SequenceEqual(BinarySentinel))
        {
            return new BinaryTagReader(input, name, length);
        }

        string? fault = bytes switch
        {
            [] => "the file is empty",
            [0xff, 0xfe, ..] or [0xfe, 0xff, ..] => "the file is UTF-16 text; DXF is ASCII or UTF-8",
            [0x89, (byte)'P', (byte)'N', (byte)'G', ..] or [0xff, 0xd8, 0xff, ..] => "the file is a picture, not a DXF drawing",
            _ => null,
        };
        if (fault is not null)
        {
            throw new CompileException(DxfCodes.NotDxf, fault, new(name), "export the drawing again as DXF");
        }

        return new AsciiTagReader(input, name, bytes is [0xef, 0xbb, 0xbf, ..] ? bytes[3..] : bytes);
    }

    /// <summary>
    /// How a file's text is encoded: UTF-8 since version AC1021, before that the code page that it names. An unknown code
    /// page is taken for the one of Western Europe.
    /// </summary>
    public static Encoding EncodingOf(DxfHeader header)
    {
        if (header.Version.Length == 0 || string.CompareOrdinal(header.Version, FirstUtf8Version) >= 0)
        {
            return Encoding.UTF8;
        }

        string digits = new([.. header.CodePage.Where(char.IsAsciiDigit)]);
        int page = digits.Length is > 0 and < 6 && NumberText.TryParseInteger(digits, out long number) ? (int)number : WesternEurope;
        return CodePagesEncodingProvider.Instance.GetEncoding(page)
            ?? CodePagesEncodingProvider.Instance.GetEncoding(WesternEurope)
            ?? Encoding.Latin1;
    }
}
