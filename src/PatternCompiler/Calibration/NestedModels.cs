using MathNet.Numerics.Distributions;

namespace PatternCompiler.Calibration;

/// <summary>R. A. Fisher's test of two models, one of which is the other with more parameters.</summary>
internal static class NestedModels
{
    // Beyond this the distribution is one for any degrees of freedom, and its numbers may no longer be worked out.
    private const double LargestRatio = 1e9;

    /// <summary>True if the wider model explains more than its further parameters would by chance.</summary>
    /// <param name="narrowSquares">Sum of squares that the narrow model leaves.</param>
    /// <param name="wideSquares">Sum of squares that the wide model leaves; above zero.</param>
    /// <param name="more">Parameters that the wide model has more.</param>
    /// <param name="degreesOfFreedom">Of the wide model; above zero.</param>
    /// <param name="byChance">How often chance may make it look better.</param>
    public static bool IsBetter(double narrowSquares, double wideSquares, int more, int degreesOfFreedom, double byChance)
    {
        double ratio = (narrowSquares - wideSquares) / more / (wideSquares / degreesOfFreedom);
        return ratio > 0 && FisherSnedecor.CDF(more, degreesOfFreedom, Math.Min(ratio, LargestRatio)) > 1 - byChance;
    }
}
