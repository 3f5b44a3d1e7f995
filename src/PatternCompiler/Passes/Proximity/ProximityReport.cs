using System.Collections.Immutable;

namespace PatternCompiler.Passes.Proximity;

/// <summary>How well a correction met its target.</summary>
/// <param name="FiguresBefore">Figures that came in.</param>
/// <param name="FiguresAfter">Figures that went out, after cutting.</param>
/// <param name="Iterations">Iterations used.</param>
/// <param name="LargestError">Largest relative error of the target energy that remains.</param>
/// <param name="RootMeanSquareError">Root mean square of the relative errors, weighted by length of edge.</param>
/// <param name="OutsideTolerance">Part of all edge length whose error is above the tolerance.</param>
/// <param name="Histogram">Number of figures by relative error; see <see cref="HistogramEdges"/>.</param>
/// <param name="SmallestDoseFactor">Smallest factor the correction applied.</param>
/// <param name="LargestDoseFactor">Largest factor the correction applied.</param>
public sealed record ProximityReport(
    int FiguresBefore,
    int FiguresAfter,
    int Iterations,
    double LargestError,
    double RootMeanSquareError,
    double OutsideTolerance,
    ImmutableArray<int> Histogram,
    double SmallestDoseFactor,
    double LargestDoseFactor)
{
    /// <summary>
    /// Borders of the histogram's bins in relative error; the first bin lies below the first border, the last above the
    /// last one.
    /// </summary>
    public static ImmutableArray<double> HistogramEdges { get; } = [-0.05, -0.02, -0.01, -0.005, -0.002, 0.002, 0.005, 0.01, 0.02, 0.05];
}
