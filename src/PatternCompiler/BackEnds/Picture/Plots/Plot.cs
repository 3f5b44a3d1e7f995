using System.Collections.Immutable;

namespace PatternCompiler.BackEnds.Picture.Plots;

/// <summary>A diagram of values: measurements with a fitted curve, or a quantity over two others.</summary>
/// <param name="Title">Title line.</param>
/// <param name="Facts">Line below the title.</param>
/// <param name="X">Horizontal axis.</param>
/// <param name="Y">Vertical axis.</param>
/// <param name="Series">Curves and marks in drawing order.</param>
internal sealed record Plot(string Title, string Facts, PlotAxis X, PlotAxis Y, ImmutableArray<PlotSeries> Series)
{
    /// <summary>Tinted cells behind the series, or null.</summary>
    public PlotCells? Cells { get; init; }
}
