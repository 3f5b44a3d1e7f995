using PatternCompiler.Limits;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Prediction;

namespace PatternCompiler.Measure;

/// <summary>How a micrograph is measured.</summary>
/// <param name="PixelNanometres">Size of a pixel.</param>
/// <param name="Freedom">What of its map is fitted.</param>
internal sealed record MeasureOptions(double PixelNanometres, MapFreedom Freedom)
{
    /// <summary>The part of the drawing where the picture's middle lies; null for all of it.</summary>
    public SampleWindow? Window { get; init; }

    /// <summary>How far from a drawn edge the printed one is looked for.</summary>
    public double SearchNanometres { get; init; } = 100;

    /// <summary>The film stands where it is drawn, as a negative resist does; else beside it.</summary>
    public bool FilmIsInside { get; init; }

    /// <summary>How much work the drawing may ask for.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;
}
