namespace PatternCompiler.Passes.Fracture;

/// <summary>Direction of the parallel sides of trapezoids.</summary>
public enum FractureDirection
{
    /// <summary>Parallel sides run along x.</summary>
    Horizontal,

    /// <summary>Parallel sides run along y.</summary>
    Vertical,

    /// <summary>
    /// For each connected part of an area the direction that makes fewer slivers, then fewer figures; horizontal when both
    /// are equal.
    /// </summary>
    Automatic,
}
