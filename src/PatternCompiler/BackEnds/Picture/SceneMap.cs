namespace PatternCompiler.BackEnds.Picture;

/// <summary>
/// Exposure or cover per area where there is too much of it to draw shape by shape: one tint for each pixel of the plot.
/// </summary>
/// <param name="Columns">Pixels across.</param>
/// <param name="Rows">Pixels down.</param>
/// <param name="Hue">Index of the colour.</param>
/// <param name="Tints">Row by row from the top left; 0 where nothing is exposed, otherwise a tint.</param>
internal sealed record SceneMap(int Columns, int Rows, int Hue, ReadOnlyMemory<byte> Tints);
