using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Image;

/// <summary>How an image is turned into a layout.</summary>
public sealed record ImageOptions
{
    /// <summary>Name of the layer that an image is on.</summary>
    public const string LayerName = "image";

    /// <summary>Width and height of a pixel in nanometres; null is an error.</summary>
    public double? PixelNanometres { get; init; }

    /// <summary>One grid step of the layout in picometres.</summary>
    public long GridPicometres { get; init; } = LayoutDocument.DefaultGridPicometres;

    /// <summary>
    /// With one dose level: pixels at least this dark are exposed, from above 0 (nearly all) to 1 (black only). Not used with more
    /// levels.
    /// </summary>
    public double Threshold { get; init; } = 0.5;

    /// <summary>
    /// Number of dose levels above none, 1 to 255. With n levels the darkness is rounded to k/n, and pixels with k of 1 or more are
    /// exposed with the dose factor k/n.
    /// </summary>
    public int DoseLevels { get; init; } = 1;

    /// <summary>
    /// Pixels of level 0 are areas with the number 0 as well, unless they are wholly transparent: where numbers are heights, 0 is one of
    /// them. There are at most 254 levels then.
    /// </summary>
    public bool KeepsZero { get; init; }

    /// <summary>True to expose what is light; false to expose what is dark.</summary>
    public bool ExposesLight { get; init; }
}
