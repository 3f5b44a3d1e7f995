namespace PatternCompiler.Model.Layout.Summary;

/// <summary>What a layer holds once every copy of every cell is counted. Counts are exact up to 2^53.</summary>
/// <param name="Name">Name of the layer.</param>
/// <param name="Rectangles">Upright rectangles.</param>
/// <param name="Polygons">Polygons.</param>
/// <param name="Circles">Circles.</param>
/// <param name="Rings">Rings.</param>
/// <param name="Paths">Paths with width.</param>
/// <param name="Lines">Lines without width: what stays open of a drawing's loose lines is among them.</param>
/// <param name="Dots">Dots.</param>
/// <param name="Corners">Corners of rectangles and polygons, and points of paths and lines.</param>
/// <param name="Extent">Bounding box in grid steps; null if the layer is empty.</param>
/// <param name="SmallestFeatureNanometres">Narrowest place of any area; null if there is no area, or none was measured.</param>
/// <param name="UnmeasuredPolygons">Polygons with too many corners to look for their narrowest place.</param>
/// <param name="LowestDose">Smallest dose factor; 1 if the layer is empty.</param>
/// <param name="HighestDose">Largest dose factor; 1 if the layer is empty.</param>
internal sealed record LayerSummary(
    string Name,
    double Rectangles,
    double Polygons,
    double Circles,
    double Rings,
    double Paths,
    double Lines,
    double Dots,
    double Corners,
    LayoutExtent? Extent,
    double? SmallestFeatureNanometres,
    double UnmeasuredPolygons,
    double LowestDose,
    double HighestDose)
{
    /// <summary>Everything that covers an area.</summary>
    public double Areas => Rectangles + Polygons + Circles + Rings + Paths;
}
