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
    internal SettingLine Line => new("dac", Bits, MinimumVolts, MaximumVolts, (int)Coding, (int)FullScale);

    /// <summary>Number of codes, 2^bits.</summary>
    public int CodeCount => 1 << Bits;

    /// <summary>Voltage between neighbouring codes.</summary>
    public double LsbVolts => (MaximumVolts - MinimumVolts) / (FullScale == DacFullScale.OneBeyondLastCode ? CodeCount : CodeCount - 1);

    /// <summary>Output voltage of a natural code.</summary>
    public double VoltsOf(int naturalCode) => MinimumVolts + naturalCode * LsbVolts;

    /// <summary>Bits that differ between a natural code and the word that the converter takes for it.</summary>
    public int CodingMask => Coding == DacCoding.TwosComplement ? 1 << (Bits - 1) : 0;
}

/// <summary>How a natural code (0 = lowest voltage) is written as a binary word.</summary>
public enum DacCoding
{
    /// <summary>The natural code itself; for unipolar ranges.</summary>
    Straight,

    /// <summary>The natural code itself; half of full scale is the middle of a bipolar range.</summary>
    OffsetBinary,

    /// <summary>The natural code with its top bit inverted: a signed number about the middle of the range.</summary>
    TwosComplement,
}

/// <summary>Two customs for what a converter's stated upper voltage means.</summary>
public enum DacFullScale
{
    /// <summary>LSB = span / 2^bits: the highest code stays one LSB below the upper end (the usual custom).</summary>
    OneBeyondLastCode,

    /// <summary>LSB = span / (2^bits − 1): the highest code reaches the upper end.</summary>
    LastCode,
}

/// <summary>
/// Outputs that are the sum of two converters each: a wide, slow coarse one and a narrow, fast fine one. The upper bits of
/// a code go to the coarse converter, the lower ones to the fine one. The codes that share the coarse part in both axes
/// form a sub-field; within it only the fine converters move.
/// </summary>
/// <param name="FineBits">Bits of the fine converters, 1 to the bits of a code less one.</param>
/// <param name="CoarseSettleSeconds">Wait after a coarse converter has moved.</param>
public sealed record CompositeDac(int FineBits, double CoarseSettleSeconds)
{
    internal double[] Numbers => [FineBits, CoarseSettleSeconds];

    /// <summary>Codes along a side of a sub-field.</summary>
    public int CodesPerSubfield => 1 << FineBits;

    /// <summary>Column or row of the sub-field of a code.</summary>
    public int SubfieldOf(int code) => code >> FineBits;
}
