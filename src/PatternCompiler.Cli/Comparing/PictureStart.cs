namespace PatternCompiler.Cli.Comparing;

/// <summary>Recognises pictures by their first bytes.</summary>
internal static class PictureStart
{
    private static ReadOnlySpan<byte> PngSignature => [0x89, (byte)'P', (byte)'N', (byte)'G', 0x0D, 0x0A, 0x1A, 0x0A];

    /// <summary>True for PNG, and for SVG or another text that starts with a tag.</summary>
    public static bool Recognises(ReadOnlySpan<byte> first) =>
        first.StartsWith(PngSignature) || first.TrimStart(" \t\r\n\uFEFF"u8).StartsWith("<"u8);
}
