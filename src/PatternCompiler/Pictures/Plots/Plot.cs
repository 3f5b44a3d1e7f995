using System.Collections.Immutable;

namespace PatternCompiler.Pictures.Plots;

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

/// <summary>Tinted cells that divide the plot evenly.</summary>
/// <param name="Columns">Cells across.</param>
/// <param name="Rows">Cells upward.</param>
/// <param name="Tints">Row by row from the bottom left: 0 for none, else 1 to 12.</param>
/// <param name="Scale">What the tints stand for.</param>
internal sealed record PlotCells(int Columns, int Rows, ReadOnlyMemory<byte> Tints, TintScale Scale);

/// <summary>How a series is drawn.</summary>
internal enum PlotMark
{
    /// <summary>A line through the points.</summary>
    Line,

    /// <summary>A dashed line through the points.</summary>
    DashedLine,

    /// <summary>A dot at every point.</summary>
    Dots,
}

/// <summary>One curve or set of marks.</summary>
/// <param name="Name">Text in the legend.</param>
/// <param name="Mark">How it is drawn.</param>
/// <param name="Hue">Index of the colour.</param>
/// <param name="Points">Values along x and y; those that are not finite are left out.</param>
internal sealed record PlotSeries(string Name, PlotMark Mark, int Hue, ImmutableArray<(double X, double Y)> Points);
