namespace PatternCompiler.Pictures;

/// <summary>Smooths a map of pixels: lines and points about a pixel apart beat with the pixels, but what counts is the exposure around them.</summary>
internal static class PixelSmoothing
{
    /// <summary>Spreads every pixel over itself and its neighbours by 1 : 2 : 1 along both axes.</summary>
    public static double[] Spread(double[] pixels, int width)
    {
        int height = pixels.Length / width;
        var across = new double[pixels.Length];
        var both = new double[pixels.Length];
        for (int row = 0; row < height; row++)
        {
            for (int column = 0; column < width; column++)
            {
                int i = row * width + column;
                across[i] = (pixels[i] * 2 + (column > 0 ? pixels[i - 1] : 0) + (column < width - 1 ? pixels[i + 1] : 0)) / 4;
            }
        }

        for (int row = 0; row < height; row++)
        {
            for (int column = 0; column < width; column++)
            {
                int i = row * width + column;
                both[i] = (across[i] * 2 + (row > 0 ? across[i - width] : 0) + (row < height - 1 ? across[i + width] : 0)) / 4;
            }
        }

        return both;
    }
}
