namespace PatternCompiler.Measure;

/// <summary>A single dot, or several that are drawn on one place.</summary>
/// <param name="XNanometres">As drawn.</param>
/// <param name="YNanometres">As drawn.</param>
/// <param name="MeasuredX">Middle as printed.</param>
/// <param name="MeasuredY">Middle as printed.</param>
/// <param name="RadiusNanometres">Printed radius.</param>
/// <param name="ErrorX">Standard error by the picture's noise.</param>
/// <param name="ErrorY">Standard error by the picture's noise.</param>
/// <param name="Visits">How many they are.</param>
internal sealed record MeasuredDot(
    double XNanometres, double YNanometres, double MeasuredX, double MeasuredY, double RadiusNanometres, double ErrorX, double ErrorY, int Visits)
{
    /// <summary>
    /// Way of the beam to it from the dot drawn before it, the same on all visits; zero where it stays, not a number where visits differ.
    /// </summary>
    public double JumpX { get; init; } = double.NaN;

    /// <summary>As <see cref="JumpX"/>.</summary>
    public double JumpY { get; init; } = double.NaN;
}
