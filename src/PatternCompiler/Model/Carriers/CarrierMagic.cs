namespace PatternCompiler.Model.Carriers;

/// <summary>
/// First bytes of the binary carriers: a byte outside ASCII (no text starts with it, and a 7-bit channel destroys it),
/// "PC" and a letter for the document, a carriage return and a line feed (which a text conversion would change), and
/// the version as two bytes.
/// </summary>
internal static class CarrierMagic
{
    /// <summary>Length of every magic.</summary>
    public const int Length = 8;

    /// <summary>Length of the part that names the document; the version follows.</summary>
    public const int KindLength = 6;

    /// <summary>Version of all binary carriers.</summary>
    public const byte Version = 1;

    /// <summary>Figures.</summary>
    public static ReadOnlySpan<byte> Figures => [0x9C, (byte)'P', (byte)'C', (byte)'F', 0x0D, 0x0A, Version, 0];

    /// <summary>Strokes.</summary>
    public static ReadOnlySpan<byte> Strokes => [0x9C, (byte)'P', (byte)'C', (byte)'S', 0x0D, 0x0A, Version, 0];

    /// <summary>Records.</summary>
    public static ReadOnlySpan<byte> Records => [0x9C, (byte)'P', (byte)'C', (byte)'R', 0x0D, 0x0A, Version, 0];
}
