namespace PatternCompiler.Pictures;

/// <summary>
/// The colours of all pictures. The hues were chosen by search so that any two of them, the jumps' red and the paper
/// stay apart for normal sight and for the three kinds of colour blindness; the tests hold that distance.
/// </summary>
internal static class Palette
{
    /// <summary>Number of tints of each hue.</summary>
    public const int TintCount = 12;

    private const double FaintestPart = 0.34;

    private static readonly PictureColour[] Hues =
    [
        PictureColour.FromHex(0x366FA9),
        PictureColour.FromHex(0xD17809),
        PictureColour.FromHex(0x44A590),
        PictureColour.FromHex(0x23368F),
        PictureColour.FromHex(0x760808),
        PictureColour.FromHex(0x9E8AF0),
        PictureColour.FromHex(0x2FD5DC),
        PictureColour.FromHex(0xEDB23C),
    ];

    /// <summary>Number of different hues; further layers start again.</summary>
    public static int HueCount => Hues.Length;

    /// <summary>Behind everything.</summary>
    public static PictureColour Paper => PictureColour.FromHex(0xF7F7F4);

    /// <summary>Behind the drawing.</summary>
    public static PictureColour Plot => PictureColour.FromHex(0xFFFFFF);

    /// <summary>Text, axes and ticks.</summary>
    public static PictureColour Ink => PictureColour.FromHex(0x23282E);

    /// <summary>Text of less weight.</summary>
    public static PictureColour FaintInk => PictureColour.FromHex(0x5E676F);

    /// <summary>Lines behind the drawing that continue the ticks.</summary>
    public static PictureColour TickLine => PictureColour.FromHex(0xE9EBEC);

    /// <summary>The DAC raster.</summary>
    public static PictureColour CodeLine => PictureColour.FromHex(0xD3DADE);

    /// <summary>Moves with the beam off.</summary>
    public static PictureColour Jump => PictureColour.FromHex(0xBE104A);

    /// <summary>A hue at full strength.</summary>
    public static PictureColour Hue(int hue) => Hues[hue % Hues.Length];

    /// <summary>A hue at one of its tints, opaque.</summary>
    public static PictureColour Tint(int hue, int tint) =>
        PictureColour.Mix(Plot, Hue(hue), FaintestPart + (1 - FaintestPart) * (tint - 1) / (TintCount - 1));

    /// <summary>A hue darkened for boundaries.</summary>
    public static PictureColour Edge(int hue) => PictureColour.Mix(Hue(hue), PictureColour.FromHex(0x000000), 0.35);
}
