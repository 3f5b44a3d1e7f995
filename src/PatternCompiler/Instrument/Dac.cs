namespace PatternCompiler.Instrument;

/// <summary>
/// The pair of digital-to-analogue converters behind the X and Y outputs. Natural code k (0 … 2^bits − 1) gives
/// <c>MinimumVolts + k · LsbVolts</c>.
/// </summary>
/// <param name="Bits">Resolution, 8 to 24.</param>
/// <param name="MinimumVolts">Output for the lowest code.</param>
/// <param name="MaximumVolts">Upper end of the range; whether a code reaches it depends on <paramref name="FullScale"/>.</param>
/// <param name="Coding">Binary coding of the words that the converter takes.</param>
/// <param name="FullScale">What the upper end of the range stands for.</param>
public sealed record Dac(int Bits, double MinimumVolts, double MaximumVolts, DacCoding Coding, DacFullScale FullScale)
{
    /// <summary>Number of codes, 2^bits.</summary>
    public int CodeCount => 1 << Bits;

    /// <summary>Voltage between neighbouring codes.</summary>
    public double LsbVolts => (MaximumVolts - MinimumVolts) / (FullScale == DacFullScale.OneBeyondLastCode ? CodeCount : CodeCount - 1);

    /// <summary>Output voltage of a natural code.</summary>
    public double VoltsOf(int naturalCode) => MinimumVolts + naturalCode * LsbVolts;

    /// <summary>Bits that differ between a natural code and the word that the converter takes for it.</summary>
    public int CodingMask => Coding == DacCoding.TwosComplement ? 1 << (Bits - 1) : 0;
}
