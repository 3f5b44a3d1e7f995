namespace PatternCompiler.Instrument;

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
