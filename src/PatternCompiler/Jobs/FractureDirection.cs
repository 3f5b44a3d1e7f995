namespace PatternCompiler.Jobs;

/// <summary>Direction of the parallel sides of the figures.</summary>
public enum FractureDirection
{
    /// <summary>Horizontal.</summary>
    Horizontal,

    /// <summary>Vertical.</summary>
    Vertical,
}
