namespace PatternCompiler.Passes.Fill;

/// <summary>How areas are covered with strokes.</summary>
public enum FillStrategy
{
    /// <summary>Each figure by lines of its own, back and forth.</summary>
    Lines,

    /// <summary>Each figure by lines of its own, all in one direction; for deflections with lag.</summary>
    OneWayLines,

    /// <summary>The whole layer by a scan over its bounding box, back and forth, with on and off runs.</summary>
    Raster,

    /// <summary>As <see cref="Raster"/>, all rows in one direction.</summary>
    OneWayRaster,

    /// <summary>A closed contour along the edge of each merged area first, then the inside by lines.</summary>
    ContourThenLines,

    /// <summary>Closed contours from the edge of each merged area inwards.</summary>
    InwardContours,
}
