namespace PatternCompiler.Geometry.Rectilinear;

/// <summary>What is known of a stretch.</summary>
internal enum Cover
{
    None,
    All,
    Mixed,
}
