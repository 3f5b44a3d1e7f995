namespace PatternCompiler.BackEnds.Picture.Plots;

/// <summary>Tinted cells that divide the plot evenly.</summary>
/// <param name="Columns">Cells across.</param>
/// <param name="Rows">Cells upward.</param>
/// <param name="Tints">Row by row from the bottom left: 0 for none, else 1 to 12.</param>
/// <param name="Scale">What the tints stand for.</param>
internal sealed record PlotCells(int Columns, int Rows, ReadOnlyMemory<byte> Tints, TintScale Scale);
