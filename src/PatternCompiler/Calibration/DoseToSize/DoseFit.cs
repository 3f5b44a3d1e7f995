using System.Collections.Immutable;
using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.DoseToSize;

/// <summary>What a dose test says of the dose to size.</summary>
/// <param name="Tone">Of the resist.</param>
/// <param name="Threshold">
/// Energy, as the dose of a large area in µC/cm², at which edges print: where a positive resist clears, or half of a negative one
/// stays.
/// </param>
/// <param name="Bias">How far development moves edges outward, in nanometres; null where no widths were measured.</param>
/// <param name="Widths">Number of widths that were fitted.</param>
/// <param name="RootMeanSquareNanometres">Of what the fit misses of the widths, the spread as stated; not a number without widths.</param>
/// <param name="Features">The features of the table, in its order, and what they need.</param>
internal sealed record DoseFit(
    ResistTone Tone, FitParameter Threshold, FitParameter? Bias, int Widths, double RootMeanSquareNanometres, ImmutableArray<FeatureDose> Features)
{
    /// <summary>The contrast curve, where thicknesses of squares were given.</summary>
    public ContrastFit? Contrast { get; init; }

    /// <summary>Standard error that ranges and ratios of the spread were taken to carry, as a part of each.</summary>
    public double SpreadError { get; init; }

    /// <summary>Base dose: twice the threshold, for the edge of a large area receives half of its dose.</summary>
    public FitParameter BaseDose => Threshold with
    {
        Name = "base-dose",
        Value = 2 * Threshold.Value,
        StandardError = 2 * Threshold.StandardError,
        Low = 2 * Threshold.Low,
        High = 2 * Threshold.High,
    };

    /// <summary>Width that a feature prints with at a dose, by the fit of widths; null if it does not print or runs together.</summary>
    internal double? WidthAt(DoseFeature feature, double dose, SpreadFunction spread) =>
        feature.PrintedWidth(spread, Threshold.Value / dose) + (DoseFitter.BiasSign(feature) * Bias!.Value);
}

/// <summary>What a feature needs to print as drawn, its edges moved by the bias.</summary>
/// <param name="Feature">The feature.</param>
/// <param name="DoseFactor">Of the base dose, with which its edges print where they are drawn.</param>
/// <param name="ErrorNanometres">Printed less drawn width at the base dose itself; null if it does not print, or runs together.</param>
internal sealed record FeatureDose(DoseFeature Feature, double DoseFactor, double? ErrorNanometres)
{
    /// <summary>A width this close to what is drawn counts as right.</summary>
    public const double RightWithinNanometres = 5;

    /// <summary>True if the base dose alone prints it right.</summary>
    public bool Holds => ErrorNanometres is { } error && Math.Abs(error) <= RightWithinNanometres;
}
