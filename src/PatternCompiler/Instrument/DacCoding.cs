namespace PatternCompiler.Instrument;

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
