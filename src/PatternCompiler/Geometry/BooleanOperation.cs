namespace PatternCompiler.Geometry;

/// <summary>How two covered areas combine.</summary>
internal enum BooleanOperation
{
    /// <summary>Covered by either.</summary>
    Union,

    /// <summary>Covered by both.</summary>
    Intersection,

    /// <summary>Covered by the first and not by the second.</summary>
    Difference,

    /// <summary>Covered by exactly one.</summary>
    SymmetricDifference,
}
