using System.Collections.Immutable;

namespace PatternCompiler.BackEnds.Picture;

/// <summary>
/// A picture before it has a file format: what to draw, in sample nanometres, and what to write beside it. Composed by
/// <see cref="LayoutPicture"/>, <see cref="FiguresPicture"/>, <see cref="StrokesPicture"/> or
/// <see cref="RecordsPicture"/>; drawn by <see cref="SvgRenderer"/> or <see cref="PngRenderer"/>.
/// </summary>
/// <param name="Frame">Size of the picture and the part of the sample it shows.</param>
/// <param name="Title">Title line.</param>
/// <param name="Facts">Line below the title.</param>
/// <param name="Notes">Lines below the drawing: what was left out and why.</param>
/// <param name="Legend">Legend from top to bottom.</param>
/// <param name="TintScale">Explains the tints, or null where they mean nothing.</param>
/// <param name="CodeRaster">The DAC's raster, or null.</param>
/// <param name="Maps">Exposure or cover by pixel; drawn first, in this order.</param>
/// <param name="Batches">Shapes in drawing order.</param>
internal sealed record Scene(
    PictureFrame Frame,
    string Title,
    string Facts,
    ImmutableArray<string> Notes,
    ImmutableArray<LegendEntry> Legend,
    TintScale? TintScale,
    CodeRaster? CodeRaster,
    ImmutableArray<SceneMap> Maps,
    ImmutableArray<SceneBatch> Batches)
{
    /// <summary>Words within the plot.</summary>
    public ImmutableArray<SceneLabel> Labels { get; init; } = [];
}
