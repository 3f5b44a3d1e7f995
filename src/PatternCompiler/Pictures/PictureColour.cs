namespace PatternCompiler.Pictures;

/// <summary>A colour with opacity.</summary>
internal readonly record struct PictureColour(byte Red, byte Green, byte Blue, byte Alpha = 255)
{
    /// <summary>From 0xRRGGBB.</summary>
    public static PictureColour FromHex(int rgb) => new((byte)(rgb >> 16), (byte)(rgb >> 8), (byte)rgb);

    /// <summary>The way from one colour (0) to another (1), opaque.</summary>
    public static PictureColour Mix(PictureColour from, PictureColour to, double part) =>
        new(Mix(from.Red, to.Red, part), Mix(from.Green, to.Green, part), Mix(from.Blue, to.Blue, part));

    private static byte Mix(byte from, byte to, double part) =>
        (byte)Math.Round(from + (to - from) * part, MidpointRounding.AwayFromZero);
}
