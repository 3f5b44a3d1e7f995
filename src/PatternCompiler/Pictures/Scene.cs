using System.Collections.Immutable;

namespace PatternCompiler.Pictures;

/// <summary>
/// A picture before it has a file format: what to draw, in sample nanometres, and what to write beside it. Composed by
/// <see cref="LayoutPicture"/>, <see cref="FiguresPicture"/>, <see cref="StrokesPicture"/> or
/// <see cref="RecordsPicture"/>; drawn by <see cref="SceneRenderer"/> or <see cref="SceneRenderer"/>.
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

/// <summary>One line of the legend.</summary>
/// <param name="Role">Decides the sample drawn beside the text.</param>
/// <param name="Hue">Colour of the sample.</param>
/// <param name="Text">The text.</param>
internal sealed record LegendEntry(SceneRole Role, int Hue, string Text);

/// <summary>Shapes of one look.</summary>
/// <param name="Role">What they stand for.</param>
/// <param name="Hue">Index of the colour; see <see cref="Palette"/>.</param>
/// <param name="Tint">Strength of the colour, 1 (faint) to <see cref="Palette.TintCount"/> (full).</param>
/// <param name="Path">The shapes.</param>
internal sealed record SceneBatch(SceneRole Role, int Hue, int Tint, ScenePath Path);

/// <summary>A few words at a place of the sample.</summary>
/// <param name="X">Middle of the words, nanometres to the right of the origin.</param>
/// <param name="Y">Middle of the words, nanometres above the origin.</param>
/// <param name="Text">The words.</param>
/// <param name="RoomNanometres">Words wider than this on the sample are left out.</param>
internal sealed record SceneLabel(double X, double Y, string Text, double RoomNanometres);

/// <summary>
/// Exposure or cover per area where there is too much of it to draw shape by shape: one tint for each pixel of the plot.
/// </summary>
/// <param name="Columns">Pixels across.</param>
/// <param name="Rows">Pixels down.</param>
/// <param name="Hue">Index of the colour.</param>
/// <param name="Tints">Row by row from the top left; 0 where nothing is exposed, otherwise a tint.</param>
internal sealed record SceneMap(int Columns, int Rows, int Hue, ReadOnlyMemory<byte> Tints);

/// <summary>Explains the tints: what the faintest and the strongest stand for.</summary>
/// <param name="Title">The quantity.</param>
/// <param name="Low">Value of the faintest tint, as text.</param>
/// <param name="High">Value of the strongest tint, as text.</param>
/// <param name="Hue">Colour of the sample.</param>
internal sealed record TintScale(string Title, string Low, string High, int Hue);
