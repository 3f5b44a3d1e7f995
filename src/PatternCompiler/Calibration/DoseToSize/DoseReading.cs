namespace PatternCompiler.Calibration.DoseToSize;

/// <summary>One reading of a dose test.</summary>
/// <param name="Feature">What was looked at.</param>
/// <param name="Dose">Area dose that it was written with, in µC/cm².</param>
/// <param name="WidthNanometres">Measured width of a bar or gap; not a number for a square.</param>
/// <param name="ThicknessNanometres">Thickness left in the middle of a square; not a number if not measured.</param>
/// <param name="Prints">Whether the middle of a square is clear (positive resist) or stands (negative); null if not told.</param>
internal sealed record DoseReading(DoseFeature Feature, double Dose, double WidthNanometres, double ThicknessNanometres, bool? Prints);
