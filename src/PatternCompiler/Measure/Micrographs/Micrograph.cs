namespace PatternCompiler.Measure.Micrographs;

/// <summary>A grey picture as a microscope recorded it.</summary>
/// <param name="Width">Pixels across.</param>
/// <param name="Height">Pixels down.</param>
/// <param name="Values">Grey values row by row from the top left.</param>
/// <param name="Bits">Bits of a value as stored; 0 for real numbers, which have no ends to be cut off at.</param>
/// <param name="NanometresPerPixel">Size of a pixel on the sample as the file's tags say; null if they do not.</param>
internal sealed record Micrograph(int Width, int Height, ReadOnlyMemory<float> Values, int Bits, double? NanometresPerPixel)
{
    /// <summary>Most pixels that are read.</summary>
    public const int MostPixels = 64_000_000;

    /// <summary>Highest value that can be stored; not a number for real numbers.</summary>
    public double HighestValue => Bits == 0 ? double.NaN : Math.Pow(2, Bits) - 1;
}
