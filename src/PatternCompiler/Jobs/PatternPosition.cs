namespace PatternCompiler.Jobs;

/// <summary>Where the pattern stands in the field.</summary>
public enum PatternPosition
{
    /// <summary>The drawing's origin is the field's centre.</summary>
    AsDrawn,

    /// <summary>The middle of the pattern's bounding box is the field's centre.</summary>
    Centred,
}
