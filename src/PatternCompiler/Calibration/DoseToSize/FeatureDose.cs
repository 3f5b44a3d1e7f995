namespace PatternCompiler.Calibration.DoseToSize;

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
