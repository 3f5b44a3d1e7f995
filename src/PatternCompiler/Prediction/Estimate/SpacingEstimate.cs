namespace PatternCompiler.Prediction.Estimate;

/// <summary>Spacing of exposed lines and points along one axis of the sample; all zero where there is none.</summary>
/// <param name="SmallestNanometres">Smallest distance between neighbours.</param>
/// <param name="LargestNanometres">Largest distance between neighbours.</param>
/// <param name="Ripple">Largest relative dose ripple found, from the true spacing and the spot.</param>
/// <param name="RipplePitchNanometres">Mean spacing where that ripple was found.</param>
public readonly record struct SpacingEstimate(
    double SmallestNanometres, double LargestNanometres, double Ripple, double RipplePitchNanometres);
