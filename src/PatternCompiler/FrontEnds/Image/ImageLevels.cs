using PatternCompiler.FrontEnds.Common;

namespace PatternCompiler.FrontEnds.Image;

/// <summary>Maps the colour of a pixel to its number: 0 for nothing, otherwise its dose level, or one more where level 0 is kept.</summary>
internal sealed class ImageLevels
{
    private readonly byte[] levelOfGrey = new byte[256];
    private readonly int background;
    private readonly bool keepsZero;

    public ImageLevels(ImageOptions options)
    {
        keepsZero = options.KeepsZero;
        background = options.ExposesLight ? 0 : 255;
        for (int grey = 0; grey < 256; grey++)
        {
            int exposed = options.ExposesLight ? grey : 255 - grey;
            levelOfGrey[grey] = options.DoseLevels == 1
                ? (byte)(exposed >= options.Threshold * 255 ? 1 : 0)
                : (byte)(((2 * exposed * options.DoseLevels) + 255) / 510);
        }
    }

    /// <summary>
    /// The level of a pixel of red, green, blue and opacity. What is transparent shows a background that is not exposed. Grey is the
    /// luma of ITU-R BT.709, 0.2126 R + 0.7152 G + 0.0722 B of the values as stored.
    /// </summary>
    public byte Of(ReadOnlySpan<byte> rgba)
    {
        int alpha = rgba[3];
        int luma = ((2126 * rgba[0]) + (7152 * rgba[1]) + (722 * rgba[2]) + 5000) / 10_000;
        int grey = ((luma * alpha) + (background * (255 - alpha)) + 127) / 255;
        return !keepsZero ? levelOfGrey[grey] : alpha == 0 ? (byte)0 : (byte)(levelOfGrey[grey] + 1);
    }
}
