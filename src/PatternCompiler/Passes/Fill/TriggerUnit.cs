namespace PatternCompiler.Passes.Fill;

/// <summary>What is written after one edge of the trigger input, from the largest on: a unit of one kind begins one of every smaller kind.</summary>
public enum TriggerUnit
{
    /// <summary>Nothing waits.</summary>
    None,

    /// <summary>A pass over a layer.</summary>
    Pass,

    /// <summary>A figure, or an island of merged areas; a raster goes through all figures at once, so there it is a row.</summary>
    Figure,

    /// <summary>A row of a raster or of a figure's lines, a contour, a single line or dot.</summary>
    Row,

    /// <summary>A row, or the part of one up to where the beam goes off.</summary>
    Line,
}
