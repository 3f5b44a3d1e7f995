namespace PatternCompiler.Geometry.Offset;

/// <summary>How outlines are moved.</summary>
/// <param name="Join">Shape about corners.</param>
/// <param name="MitreLimit">
/// Largest distance of a mitre's tip from the corner, in offset distances, 1 or more; sharper corners are joined square.
/// </param>
/// <param name="ChordError">Largest distance between a round join or end and its chords, in grid steps, above zero.</param>
internal readonly record struct OffsetShape(OffsetJoin Join, double MitreLimit = OffsetShape.DefaultMitreLimit, double ChordError = 10)
{
    /// <summary>Mitres corners down to an angle of about 23°.</summary>
    public const double DefaultMitreLimit = 5;
}
