namespace PatternCompiler.Pictures;

/// <summary>What a group of shapes stands for; decides how it is drawn.</summary>
internal enum SceneRole
{
    /// <summary>Rings that cover an area by the nonzero rule.</summary>
    Area,

    /// <summary>Boundary of areas.</summary>
    Outline,

    /// <summary>Lines along which the beam exposes.</summary>
    Line,

    /// <summary>Exposed points.</summary>
    Dot,

    /// <summary>Moves with the beam off, from first to second point.</summary>
    Jump,

    /// <summary>Where exposure starts.</summary>
    Start,

    /// <summary>Where exposure ends.</summary>
    Finish,

    /// <summary>Places that the DAC can reach.</summary>
    Raster,

    /// <summary>Something the user must look at: a predicted stray line, a place out of tolerance.</summary>
    Alarm,

    /// <summary>The edge of what one position of the stage reaches.</summary>
    Boundary,

    /// <summary>Where what one position of the stage writes ends and that of the next begins.</summary>
    Seam,
}
