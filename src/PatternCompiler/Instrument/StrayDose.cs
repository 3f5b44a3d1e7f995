namespace PatternCompiler.Instrument;

/// <summary>
/// Dose along the track of a beam that should be off. The cross-section of the track is a Gaussian of standard deviation σ;
/// its peak is (I/v)/(σ·√(2π)), charge per length over the width of the Gaussian.
/// </summary>
internal static class StrayDose
{
    /// <summary>Dose in the middle of a track, in coulombs per square metre.</summary>
    /// <param name="currentAmperes">Current that reaches the sample.</param>
    /// <param name="nanometresPerSecond">Speed of the beam.</param>
    /// <param name="deviationNanometres">σ of the beam with its forward scattering.</param>
    public static double PeakOfTrack(double currentAmperes, double nanometresPerSecond, double deviationNanometres) =>
        currentAmperes / (nanometresPerSecond * 1e-9) / (deviationNanometres * 1e-9 * Math.Sqrt(2 * Math.PI));

    /// <summary>Dose in the middle of a piece of a track that took a charge, in coulombs per square metre.</summary>
    /// <param name="coulombs">Charge that reached the sample.</param>
    /// <param name="nanometres">Length of the piece.</param>
    /// <param name="deviationNanometres">σ of the beam with its forward scattering.</param>
    public static double PeakOfPiece(double coulombs, double nanometres, double deviationNanometres) =>
        coulombs / (nanometres * 1e-9) / (deviationNanometres * 1e-9 * Math.Sqrt(2 * Math.PI));

    /// <summary>Width of the part of a track that reaches an onset dose, 0 if the peak stays below it: 2σ·√(2·ln(peak/onset)).</summary>
    public static double PrintedWidth(double peak, double onset, double deviationNanometres) =>
        peak > onset ? 2 * deviationNanometres * Math.Sqrt(2 * Math.Log(peak / onset)) : 0;
}
