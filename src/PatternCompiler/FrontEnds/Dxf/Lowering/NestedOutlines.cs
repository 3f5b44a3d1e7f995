namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>What a closed outline within another one of the same layer and block means. The format does not say.</summary>
public enum NestedOutlines
{
    /// <summary>Every closed outline is an area of its own: what lies within another one adds nothing.</summary>
    Filled,

    /// <summary>
    /// Outlines alternate from outside to inside between area and hole, as in a drawing of a ring by two circles. Outlines that
    /// cross each other alternate where they overlap, too.
    /// </summary>
    Holes,
}
