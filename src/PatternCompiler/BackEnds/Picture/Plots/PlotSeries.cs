using System.Collections.Immutable;

namespace PatternCompiler.BackEnds.Picture.Plots;

/// <summary>One curve or set of marks.</summary>
/// <param name="Name">Text in the legend.</param>
/// <param name="Mark">How it is drawn.</param>
/// <param name="Hue">Index of the colour.</param>
/// <param name="Points">Values along x and y; those that are not finite are left out.</param>
internal sealed record PlotSeries(string Name, PlotMark Mark, int Hue, ImmutableArray<(double X, double Y)> Points);
