namespace PatternCompiler.Geometry;

/// <summary>Which points a set of closed rings covers, by the winding number around the point.</summary>
internal enum FillRule
{
    /// <summary>Covered where the winding number is not zero.</summary>
    NonZero,

    /// <summary>Covered where the winding number is odd.</summary>
    EvenOdd,

    /// <summary>Covered where the winding number is above zero (counter-clockwise rings count up).</summary>
    Positive,
}
