using System.Collections.Immutable;
using PatternCompiler.Measure.Edges;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Measure;

/// <summary>A micrograph in its place in a drawing, with all edges that it shows.</summary>
internal sealed record MeasuredPicture
{
    /// <summary>Where it lies.</summary>
    public required PictureMap Map { get; init; }

    /// <summary>Rows of the file that are picture.</summary>
    public required int Rows { get; init; }

    /// <summary>Part of its variance that the drawing explains.</summary>
    public required double Explained { get; init; }

    /// <summary>Size of a pixel as stated, in nanometres.</summary>
    public required double StatedPixelNanometres { get; init; }

    /// <summary>What of the map was fitted.</summary>
    public required MapFreedom Freedom { get; init; }

    /// <summary>Relative standard error of the fitted scale; not a number if it was not fitted.</summary>
    public required double ScaleError { get; init; }

    /// <summary>Root mean square by which edges miss the place that the map and one distance for all give them.</summary>
    public required double ResidualNanometres { get; init; }

    /// <summary>Standard deviation of the blur across an edge.</summary>
    public required double BlurNanometres { get; init; }

    /// <summary>Grey of what is drawn less grey of what is not.</summary>
    public required double Height { get; init; }

    /// <summary>Height of an edge's crest.</summary>
    public required double Crest { get; init; }

    /// <summary>Standard deviation of a pixel's noise.</summary>
    public required double Noise { get; init; }

    /// <summary>Edge placement as a simulation reports it.</summary>
    public required EdgeErrorReport Edges { get; init; }

    /// <summary>Root mean square of the edges' standard errors by noise.</summary>
    public required double EdgeNoiseNanometres { get; init; }

    /// <summary>Standard error that all edges have in common: how well the picture tells where in its profile an edge lies.</summary>
    public required double EdgePlaceErrorNanometres { get; init; }

    /// <summary>Standard error of the crest's height.</summary>
    public required double CrestError { get; init; }

    /// <summary>Part of the step that follows a side wall.</summary>
    public required double WallPart { get; init; }

    /// <summary>Standard error of it.</summary>
    public required double WallError { get; init; }

    /// <summary>Width of that wall, above zero outside of what is drawn, below inside.</summary>
    public required double WallNanometres { get; init; }

    /// <summary>Lines and gaps.</summary>
    public required ImmutableArray<MeasuredWidth> Widths { get; init; }

    /// <summary>Crosses.</summary>
    public required ImmutableArray<MeasuredCross> Crosses { get; init; }

    /// <summary>Squares.</summary>
    public required ImmutableArray<MeasuredSquare> Squares { get; init; }

    /// <summary>Single lines.</summary>
    public required ImmutableArray<MeasuredLine> Lines { get; init; }

    /// <summary>Single dots.</summary>
    public required ImmutableArray<MeasuredDot> Dots { get; init; }

    /// <summary>Pairs of combs.</summary>
    public required ImmutableArray<MeasuredVernier> Verniers { get; init; }

    /// <summary>All strips that were looked at.</summary>
    internal ImmutableArray<MeasuredEdge> Strips { get; init; } = [];
}
