namespace PatternCompiler.Measure.Registration;

/// <summary>What of the map from a micrograph to its drawing is fitted.</summary>
internal enum MapFreedom
{
    /// <summary>Offset and rotation; the size of a pixel is as stated.</summary>
    Rigid,

    /// <summary>One scale, too.</summary>
    Similarity,

    /// <summary>Scales along both axes and the angle between them, too.</summary>
    Affine,
}
