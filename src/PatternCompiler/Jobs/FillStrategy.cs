namespace PatternCompiler.Jobs;

/// <summary>How areas are covered with beam strokes.</summary>
public enum FillStrategy
{
    /// <summary>Back and forth inside each figure.</summary>
    Lines,

    /// <summary>Lines across the field with on and off runs.</summary>
    Raster,
}
